package check

import (
	"math"
	"strings"
	"testing"
)

// Feet between 60 and 200 kNm/rad: the brace has the larger of its compressions at the two ends of the
// range, each by the compatibility of post, foot and bar of TestProppedPostByHand.
func TestBraceOnARangeOfFeet(t *testing.T) {
	const h, a, d, f = 1.1, 0.9, 0.7, 600.0
	ei, ea, l := handE*handI, handE*handArea, math.Hypot(a, d)
	compression := func(k float64) float64 {
		free := f * (a*a*(3*h-a)/(6*ei) + h*a/k)
		give := d / l * d / l * (a*a*a/(3*ei) + a*a/k)
		return 1.5 * d / l * free / (l/ea + give + a/l*a/l*a/ea)
	}
	text := lonePosts().toml() + braceOn(2, "900 mm", `outward = "700 mm", level = "0 mm"`)
	soft, stiff := compression(60e3), compression(200e3)
	for given, want := range map[string]float64{`"60 kNm/rad"`: soft, `"200 kNm/rad"`: stiff, `["60 kNm/rad", "200 kNm/rad"]`: math.Max(soft, stiff)} {
		on := strings.Replace(text, `"150 kNm/rad"`, given, 1)
		if on == text {
			t.Fatal("the scenario has no foot of 150 kNm/rad")
		}
		r := result(t, weightless(parse(t, on)), Options{})
		isNear(t, "compression on feet of "+given, r.Braces[0].Compression, want, 1e-6*want, "compatibility of post, foot and bar")
	}
}
