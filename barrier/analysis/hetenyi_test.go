package analysis_test

import (
	"math"
	"testing"

	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/internal/verification"
)

// One rail on close posts against the beam on an elastic foundation.
//
// The foundation is smeared, the posts are not. For equal springs K at spacing a
// under an endless beam the exact answer is a Fourier integral over one bay's
// phase (from the equation of three moments): with c = cos(phase)
//
//	M/y = 6 EI/a^2 * (1 - c)/(2 + c),  R/y = 12 EI/a^3 * (1 - c)^2/(2 + c)
//	y0 = P/(2 pi) * integral of 1/(K + R/y),  M0 the same with M/y above
//
// so what lumping does is known and not guessed: at a = 0.44/beta the
// deflection under the load is off by less than 0.1 %, and the moment is
// smaller by (beta a)^2/6, for the spring under the load takes its share at once.
// The run is finite: its ends, 4.3/beta away, change the middle by some
// exp(-2*4.3), 2e-4.
func TestRailOnPostsAgainstHetenyi(t *testing.T) {
	record := verification.New(t, verification.Placement)
	const source = "Hetenyi, Beams on Elastic Foundation, 1946, chapter II (memory): y = P beta/(2k), M = P/(4 beta)"
	const a, h, force, ends = 0.40, 1.1, 900.0, 4e-4
	p := oneRail(evenly(21, a), h, math.Inf(1), own("point", "0.9 kN", "top", "outward"))
	d := p.definition(t)
	an := ready(t, d)
	EI := ei(&d.Rails[0].Member)
	K := 3 * ei(&d.Post.Member) / (h * h * h)
	k := K / a
	beta := math.Pow(k/(4*EI), 0.25)
	if beta*a > 0.5 || beta*10*a < 3 {
		t.Fatalf("the theory does not hold: bays of %.2f/beta, %.1f/beta each side", beta*a, beta*10*a)
	}
	middle := an.Rail(0).Probes[10]
	deflection := an.Worst(middle, 0, analysis.Service, measure(across))
	bending := an.Worst(middle, 0, analysis.Service, measure(moment))
	if x := d.Run.Posts[10]; math.Abs(deflection.Placement.X-x) > 1e-6 || math.Abs(bending.Placement.X-x) > 1e-6 {
		t.Errorf("the worst loads stand at %g and %g m, want at the post, %g m", deflection.Placement.X, bending.Placement.X, x)
	}
	y, m := discrete(EI, K, a)
	lumping := beta * beta * a * a / 6
	for _, r := range []row{
		{"deflection under P, 2k/(P beta)", source, deflection.Value * 2 * k / (force * beta), 1, 0.001 + ends},
		{"moment under P, 4 beta/P", source, bending.Value * 4 * beta / force, 1, 1.1*lumping + ends},
		{"deflection under P, equal springs", "Fourier integral over equal springs, three moments", deflection.Value / (force * y), 1, ends},
		{"moment under P, equal springs", "Fourier integral over equal springs, three moments", bending.Value / (force * m), 1, ends},
	} {
		r.outside(t, record, "one rail on close posts (theory smears them)")
	}
}

// discrete returns deflection and moment under a unit load at a support of an
// endless beam on equal springs. The integrand is smooth and periodic, so equal
// steps converge faster than any power.
func discrete(EI, K, a float64) (y, m float64) {
	const steps = 4096
	for i := range steps {
		c := math.Cos(2 * math.Pi * (float64(i) + 0.5) / steps)
		one := 1 / (K + 12*EI/(a*a*a)*(1-c)*(1-c)/(2+c)) / steps
		y += one
		m += one * 6 * EI / (a * a) * (1 - c) / (2 + c)
	}
	return y, m
}
