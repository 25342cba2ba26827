// Package stock lays rectangles out on sheets of stock: as few sheets as it finds, and told how
// few it could be at best.
//
// Parts are taken by their bounding boxes, a notch included, and may be turned by a quarter.
// They keep a gap from each other and a margin from the stock's edge. All is counted in whole
// micrometres, sizes rounded up and the stock down, so that the gap holds to the last digit and
// every machine finds the same layout.
//
// Packing rectangles is hard (NP-complete), so several orders and rules are tried: maximal free
// rectangles (J. Jylänki, A Thousand Ways to Pack the Bin, 2010), first every order with every
// rule, then shuffled orders from a fixed seed while there is a sheet to win.
package stock
