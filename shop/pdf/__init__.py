"""What the shop draws on paper and screen."""
