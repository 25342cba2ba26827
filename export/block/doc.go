// Package block makes what papers are put together from: figures that keep their texts off their
// lines, tables, sentences, bars to a scale, and the pages that they flow onto. Lengths are
// millimetres on the paper, Y up. It knows nothing of a design.
package block
