"""What a finished loom does by itself and where its design is wrong: live points, draw, fuses, feeds, findings."""
