"""What an instrument reads on a circuit, healthy or faulted; the tap and the test sheet."""
