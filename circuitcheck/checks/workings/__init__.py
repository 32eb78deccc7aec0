"""How a finding's number is worked out by hand."""
