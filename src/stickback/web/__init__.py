"""The same on a page: read the request, call one service, render what it gives."""
