package assembly

// selectNth returns the value that would stand at index k if xs were sorted. It
// reorders xs. Quickselect with three parts, so that many equal values cost
// nothing, and the median of three as pivot, so that the same input takes the
// same steps. Reference: C. A. R. Hoare, Algorithm 65: Find, 1961 (recalled, not
// seen).
func selectNth(xs []float64, k int) float64 {
	lo, hi := 0, len(xs)
	for hi-lo > 1 {
		a, b, c := xs[lo], xs[lo+(hi-lo)/2], xs[hi-1]
		pivot := max(min(a, b), min(max(a, b), c))
		// xs[lo:i] < pivot, xs[i:m] == pivot, xs[j:hi] > pivot
		i, m, j := lo, lo, hi
		for m < j {
			switch x := xs[m]; {
			case x < pivot:
				xs[i], xs[m] = x, xs[i]
				i++
				m++
			case x > pivot:
				j--
				xs[m], xs[j] = xs[j], x
			default:
				m++
			}
		}
		switch {
		case k < i:
			hi = i
		case k >= j:
			lo = j
		default:
			return pivot
		}
	}
	return xs[k]
}
