"""What happens when the system refuses, stops or interrupts the program."""
