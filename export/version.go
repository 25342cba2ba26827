package export

// Version is that of the program, on every sheet and by --version.
const Version = "0.15"
