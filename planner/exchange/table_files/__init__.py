"""Tables and workbooks, and what their columns hold."""
