"""The terminal: parse the options, call one service, render what it gives."""
