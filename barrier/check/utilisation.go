package check

import "math"

// RoundedUp returns a utilisation as reports print it, up to the third digit:
// 0.5981 is 0.599. What stands on a third digit stays there, whatever its last
// bit, but nothing over 1 is 1.000.
func RoundedUp(u float64) float64 { return thousandths(u) / 1e3 }

func thousandths(u float64) float64 {
	const slack = 1e-6 // of a thousandth
	up := math.Ceil(u*1e3 - slack)
	if u > 1 {
		return math.Max(up, 1001)
	}
	return up
}

// bounded returns a utilisation, nil for one without bound.
func bounded(u float64) *float64 {
	if math.IsInf(u, 0) || math.IsNaN(u) {
		return nil
	}
	return &u
}

// optional returns a utilisation that may not be there, below zero.
func optional(u float64) *float64 {
	if u < 0 {
		return nil
	}
	return bounded(u)
}

func utilisationOf(r *CheckRow) float64 {
	if r.Utilisation == nil {
		return math.Inf(1)
	}
	return *r.Utilisation
}
