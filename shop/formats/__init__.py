"""How numbers and days are written. A language changes words only: 1.5 g is 1.5 g for everybody at one scale."""
