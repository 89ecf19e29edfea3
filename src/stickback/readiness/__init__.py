"""What each student will still know on a day, and the chance to pass the school's oral; arrays with named axes."""
