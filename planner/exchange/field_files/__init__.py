"""What volunteers fill in and hand back: workbooks and tables of habitat sheets and visit records, out and in."""
