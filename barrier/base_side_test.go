package barrier_test

import (
	"math"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
)

// A bracket whose plate stays plane turns about the row that is pressed, or about the edge of the plate:
// the bolts of the other row stretch by E A / L, so k = n (E A / L) z² with n bolts in the row and z from
// the fulcrum to them (statics). An M12 has 84.3 mm² (ISO 898-1), over 80 mm; the lower edge is the
// nearer one.
func TestStiffnessFromSideFixing(t *testing.T) {
	const side = `kind = "side"
stiffness = "from fixing"
level = "-150 mm"
[post.base.side]
face = "outward"
eccentricity = "60 mm"
below = "0 mm"
spacing = "120 mm"
columns = 2
column_spacing = "80 mm"
bottom = "30 mm"
top = "45 mm"
plate_width = "140 mm"
bolt = "M12"
stretch = "80 mm"
`
	of := func(side string) (*barrier.Definition, error) {
		return barrier.Parse("side.toml", []byte(strings.Replace(solidityPlan, "stiffness = \"rigid\"\n", side, 1)))
	}
	row := 2 * 200e9 * 84.3e-6 / 0.08 // N/m
	for bearing, lever := range map[string]float64{"": 0.120, "bearing = \"edge\"\n": 0.150} {
		d, err := of(side + bearing)
		if err != nil {
			t.Fatal(err)
		}
		if k := d.Post.Base.Stiffness[0]; math.Abs(k/(row*lever*lever)-1) > 1e-3 { // the area is printed with three digits
			t.Errorf("%q: %g Nm/rad, want %g", bearing, k, row*lever*lever)
		}
	}
	if _, err := of(strings.Replace(side, "stretch = \"80 mm\"\n", "", 1)); err == nil || !strings.Contains(err.Error(), "the length over which a bolt stretches") {
		t.Errorf("without the length of the bolts: %v", err)
	}
}
