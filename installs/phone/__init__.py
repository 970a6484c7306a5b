"""What a phone is given to answer by itself where there is no network: numbers that it compares."""
