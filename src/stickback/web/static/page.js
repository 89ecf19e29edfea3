// Keys, focus and speaking time; every page works without it.
"use strict";
