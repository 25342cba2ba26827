package budget

// kth returns the k-th smallest of xs, k from 0, and leaves xs in another order.
// Reference: Hoare, Algorithm 65: Find, Communications of the ACM 4 (1961), with
// the median of three as pivot (recalled, not seen). xs holds no NaN.
func kth(xs []float64, k int) float64 {
	lo, hi := 0, len(xs)-1
	for lo < hi {
		pivot := middle(xs[lo], xs[(lo+hi)/2], xs[hi])
		i, j := lo, hi
		for i <= j {
			for xs[i] < pivot {
				i++
			}
			for xs[j] > pivot {
				j--
			}
			if i <= j {
				xs[i], xs[j] = xs[j], xs[i]
				i++
				j--
			}
		}
		switch { // xs[lo..j] <= pivot, xs[i..hi] >= pivot, the pivot alone between
		case k <= j:
			hi = j
		case k >= i:
			lo = i
		default:
			return xs[k]
		}
	}
	return xs[k]
}

func middle(a, b, c float64) float64 {
	return max(min(a, b), min(max(a, b), c))
}
