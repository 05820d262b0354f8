"""What a screen shows and a sheet can print: rows and lines of text, without a screen."""
