// Package export puts named outputs into a directory, all or nothing as far as a
// file system allows.
//
//   - Every name is looked at before any is written: when one would replace a
//     file that the tool did not write, nothing is written at all.
//   - Each file goes to a temporary name beside its place, is flushed to the disk
//     and then renamed, so that whoever reads the place finds the earlier file
//     whole or the new one whole. Temporary files of a killed run go with the next.
//   - Nothing outside the directory is touched: all work goes through an os.Root,
//     which refuses to follow a link that leads out.
//
// # Whose file is it
//
// The directory's ledger (LedgerName) has the SHA-256 and the name of every file that
// the tool wrote there and that still stands. It is written before the files are
// renamed, with the old and the new sums, so that a run killed between two renames
// leaves no file that the next run does not know. A file that the user has edited since
// has another sum and counts as the user's: it is never replaced and never removed.
package export
