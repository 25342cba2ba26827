package estimate

import "math"

// envelope is a symmetric matrix of which row i is kept from column first[i] to the diagonal:
// features that no reading joins take no room, so that a form factors in some 20 000 products.
type envelope struct {
	first []int
	rows  [][]float64
}

func newEnvelope(first []int) envelope {
	e := envelope{first: first, rows: make([][]float64, len(first))}
	for i, f := range first {
		e.rows[i] = make([]float64, i-f+1)
	}
	return e
}

// add adds by to the element at i, j, which the envelope must hold.
func (e envelope) add(i, j int, by float64) {
	if i < j {
		i, j = j, i
	}
	e.rows[i][j-e.first[i]] += by
}

// factor turns e into its Cholesky factor and returns the logarithm of the determinant. The
// matrix is positive definite: every unknown has a prior.
func (e envelope) factor() float64 {
	var det float64
	for i, row := range e.rows {
		for j := e.first[i]; j < i; j++ {
			row[j-e.first[i]] = (row[j-e.first[i]] - e.dot(i, j, j)) / e.diagonal(j)
		}
		d := math.Sqrt(row[i-e.first[i]] - e.dot(i, i, i))
		row[i-e.first[i]] = d
		det += 2 * math.Log(d)
	}
	return det
}

func (e envelope) diagonal(i int) float64 { return e.rows[i][i-e.first[i]] }

// dot is the product of rows i and j over the columns before end.
func (e envelope) dot(i, j, end int) float64 {
	from := max(e.first[i], e.first[j])
	if from >= end {
		return 0
	}
	a, b := e.rows[i][from-e.first[i]:end-e.first[i]], e.rows[j][from-e.first[j]:end-e.first[j]]
	var sum float64
	for k, v := range a {
		sum += float64(v * b[k])
	}
	return sum
}

// forward solves L y = b in place, from row start on: b is zero before.
func (e envelope) forward(b []float64, start int) {
	for i := start; i < len(b); i++ {
		row, from := e.rows[i], max(e.first[i], start)
		var sum float64
		for k, v := range row[from-e.first[i] : i-e.first[i]] {
			sum += float64(v * b[from+k])
		}
		b[i] = (b[i] - sum) / row[i-e.first[i]]
	}
}
