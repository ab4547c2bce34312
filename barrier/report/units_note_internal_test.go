package report

import (
	"strings"
	"testing"

	"example.com/stanchion/barrier/check"
	"example.com/stanchion/internal/quantity"
)

// A trail whose formulas mix units says what they come to in one system: arithmetic, 1 ft = 12 in.
func TestMixedUnitsAreSaid(t *testing.T) {
	pole := &check.Trail{Steps: []check.Step{
		{Symbol: "P", Unit: "N"}, {Symbol: "p", Unit: "kPa/m"}, {Symbol: "d", Unit: "mm"},
		{Symbol: "S1", Unit: "kPa", Formula: "p d / 3", Values: []check.StepValue{{Symbol: "p", Unit: "kPa/m"}, {Symbol: "d", Unit: "mm"}}},
	}}
	arm := &check.Trail{Steps: []check.Step{{Symbol: "h", Unit: "mm", Formula: "Mg / P", Values: []check.StepValue{{Symbol: "Mg", Unit: "Nm"}, {Symbol: "P", Unit: "N"}}}}}
	plain := &check.Trail{Steps: []check.Step{{Symbol: "Rd", Unit: "Nm", Formula: "Rk / γ", Values: []check.StepValue{{Symbol: "Rk", Unit: "Nm"}}}}}
	for _, c := range []struct {
		of    *check.Trail
		units quantity.System
		want  string
	}{
		{pole, quantity.Metric, "In N and mm: 1 kPa = 0.001 MPa, 1 kPa/m = 0.000001 N/mm³."},
		{pole, quantity.US, "1 psf = 1/144000 ksi, 1 psf/ft = 1/1728000 kip/in³."},
		{arm, quantity.Metric, "In N and mm: 1 Nm = 1000 N mm."},
		{arm, quantity.US, "1 lbf-ft = 0.012 kip-in"},
		{plain, quantity.Metric, ""},
	} {
		if got := unitsNote(c.of, c.units); !strings.Contains(got, c.want) || c.want == "" && got != "" {
			t.Errorf("%s under %v: %q, want %q", c.of.Steps[0].Symbol, c.units, got, c.want)
		}
	}
	for _, c := range []struct {
		value      float64
		unit, want string
	}{{1, "kPa", "20.8854 psf"}, {31.4, "kPa/m", "199.889 psf/ft"}, {1, "N/mm", "0.00571015 kip/in"}} { // 1 lbf = 4.4482216 N, 1 in = 25.4 mm
		value, unit := stepIn(quantity.US, c.value, c.unit)
		if got := trimmed(value) + " " + unit; got != c.want {
			t.Errorf("%v %s reads %s, want %s", c.value, c.unit, got, c.want)
		}
	}
}
