"""What the firm holds about a customer: to be handed to them, and to be erased."""
