"""What the pages say, as rows of text: pure functions of the board and a width."""
