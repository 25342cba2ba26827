// Package export puts named outputs into a directory, all or nothing as far as a
// file system allows.
//
//   - Every name is looked at before any is written: when one would replace a
//     file that the tool did not write, nothing is written at all.
//   - Each file goes to a temporary name beside its place, is flushed to the disk
//     and then renamed, so that whoever reads the place finds the earlier file
//     whole or the new one whole.
//   - Nothing outside the directory is touched: all work goes through an os.Root,
//     which refuses to follow a link that leads out.
//
// # Whose file is it
//
// A file that already stands in the directory counts as the tool's own when its
// bytes are the ones about to be written, or when the record beside it (RecordName)
// is genuine and lists it with the very SHA-256 that it has now. A file that the
// user has edited since therefore counts as the user's.
//
// The record cannot list its own hash among the others. It carries a seal instead:
// the SHA-256 of its own bytes with the seal's 64 digits set to zero (see Seal).
// A record without a seal, or with one that does not fit, counts as the user's.
package export
