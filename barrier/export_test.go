package barrier

// StretchOf returns the index among Stretches of the one in whose rails x (m) lies.
func (r *Run) StretchOf(x float64) int { return stretchOf(r.Stretches(), x) }
