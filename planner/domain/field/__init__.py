"""What comes back from the field: habitat sheets, visit records, photos, and what is made of them."""
