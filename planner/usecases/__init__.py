"""One function for each thing a person does; each change says what it changed."""
