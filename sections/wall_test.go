package sections

import (
	"math"
	"strings"
	"testing"

	"example.com/stanchion/internal/verification"
)

func TestWallOn(t *testing.T) {
	record := verification.New(t, verification.Tubes)
	for _, c := range []struct {
		tube   string
		basis  WallBasis
		want   float64 // mm
		source string
	}{
		{"EN 10219 48.3x3.2", NominalWall, 3.2, "nominal"},
		{"EN 10219 48.3x3.2", "", 3.2, "nominal is the default"},
		{"EN 10219 48.3x3.2", MinimumWall, 2.88, "EN 10219-2: -10 % to 5 mm"},
		{"EN 10219 76.1x5.0", MinimumWall, 4.5, "EN 10219-2: -10 % to 5 mm, which is included"},
		{"EN 10219 76.1x6.0", MinimumWall, 5.5, "EN 10219-2: -0.5 mm above 5 mm"},
		{"EN 10210 48.3x5.0", MinimumWall, 4.5, "EN 10210-2: -10 %"},
		{"EN 10255 DN40 medium", MinimumWall, 2.88, "EN 10255 types M, H, L: -10 %"},
		{"EN 10255 DN40 L", MinimumWall, 2.61, "EN 10255 types M, H, L: -10 %"},
		{"EN 10255 DN40 L2", MinimumWall, 2.668, "EN 10255 type L2: -8 %"},
		{"EN 39 48.3x4.0", MinimumWall, 3.6, "EN 39 7.6: -10 %"},
		{"ASTM A53 NPS 1-1/2 STD", MinimumWall, 0.875 * 3.683, "ASTM A53: -12.5 %, from memory"},
		{"JIS G 3444 48.6x3.2", MinimumWall, 2.7, "JIS G 3444 class 1: -0.5 mm under 4 mm, from memory"},
		{"JIS G 3444 60.5x4.0", MinimumWall, 3.5, "JIS G 3444 class 1: -12.5 % from 4 mm, from memory"},
		{"EN 10217 48.3x1.5", MinimumWall, 1.3, "EN ISO 1127 T3: -10 %, at least 0.2 mm, from memory"},
		{"EN 10217 48.3x3.2", MinimumWall, 2.88, "EN ISO 1127 T3: -10 %, at least 0.2 mm, from memory"},
		{"ASTM A53 NPS 1-1/2 STD", DesignWall, 0.135 * 25.4, "AISC table of pipe: 1-1/2 Std, design wall 0.135 in, public copy"},
		{"ASTM A53 NPS 1-1/4 STD", DesignWall, 0.130 * 25.4, "AISC table of pipe: 1-1/4 Std, design wall 0.130 in, public copy"},
		{"EN 10219 48.3x3.2", DesignWall, 2.976, "AISC 360-16 B4.2: 0.93 of 3.2 mm"},
		{"JIS G 3444 48.6x3.2", DesignWall, 2.976, "AISC 360-16 B4.2: 0.93 of 3.2 mm"},
		{"B36.10M 2 sch 40", DesignWall, 0.93 * 0.154 * 25.4, "AISC 360-16 B4.2: 0.93 of 0.154 in"},
	} {
		got, err := mustTube(t, c.tube).WallOn(c.basis)
		if c.basis == MinimumWall || c.basis == DesignWall {
			record.From(string(c.basis)+" wall", c.source, knownOf(t, c.tube, c.basis, c.source)).Add(c.tube+": mm", c.want, got/mm)
		}
		if err != nil || math.Abs(got/mm-c.want) > 1e-9 {
			t.Errorf("%s on the %q wall: %.6g mm, %v; want %g mm (source: %s)", c.tube, c.basis, got/mm, err, c.want, c.source)
		}
	}
}

// knownOf tells how the figure behind a wall is known: a tolerance as its table says, a design
// wall that is printed by its source, and one that is worked out.
func knownOf(t *testing.T, tube string, basis WallBasis, source string) verification.Provenance {
	t.Helper()
	switch {
	case basis == MinimumWall:
		tolerance, err := mustTube(t, tube).WallTolerance()
		if err != nil {
			t.Fatal(err)
		}
		return verification.Provenance(tolerance.Provenance)
	case strings.HasSuffix(source, "public copy"):
		return verification.Public
	}
	return verification.Derived
}

func TestWallOnRefuses(t *testing.T) {
	for _, c := range []struct {
		tube  Tube
		basis WallBasis
		want  string
	}{
		{mustTube(t, "EN 755 48.3x4.0"), DesignWall, "AISC 360 has no design wall for a tube of aluminium"},
		{mustTube(t, "EN 10217 48.3x3.2"), DesignWall, "AISC 360 has no design wall for a tube of stainless"},
		{mustTube(t, "EN 10219 48.3x3.2"), "mean", `no wall basis "mean": write "nominal", "minimum" or "design"`},
		{mustTube(t, "EN 755 48.3x4.0"), MinimumWall, "no wall tolerance is listed for EN 755 48.3x4.0: give the wall to count on"},
		{mustTube(t, "B36.10M 2 sch 40"), MinimumWall, "no wall tolerance is listed for ASME B36.10M NPS 2 Sch 40: give the wall to count on"},
		{Tube{OD: 0.05, Wall: 0.003}, MinimumWall, "a tube given by its size has no wall tolerance: give the wall to count on"},
	} {
		if _, err := c.tube.WallOn(c.basis); err == nil || err.Error() != c.want {
			t.Errorf("%s on the %q wall: %v, want %s", c.tube.Name, c.basis, err, c.want)
		}
	}
}

// A tube to a full-wall standard is designed with its nominal wall, and a size of the
// user's own is not taken for one: AISC 360-16 B4.2.
func TestDesignWallOfFullWallTube(t *testing.T) {
	for standard, want := range map[string]float64{"ASTM A1085": 5, "ASTM A1065": 5, "ASTM A500": 4.65, "": 4.65} {
		tube := Tube{Standard: standard, OD: 60e-3, Wall: 5e-3}
		if got, err := tube.WallOn(DesignWall); err != nil || math.Abs(got/mm-want) > 1e-12 {
			t.Errorf("tube to %q: design wall %v mm, %v; want %v mm", standard, got/mm, err, want)
		}
	}
}

// Each tube falls in one row of the tolerance table at most, and every standard
// but those that list no tolerance has one for all of its tubes.
func TestToleranceTable(t *testing.T) {
	without := map[string]bool{"ASME B36.10M": true, "EN 755-8": true, "BS 1139-1.2 / EN 12811": true, "ASTM B221 / B429": true}
	for _, tube := range Tubes() {
		rows := keep(toleranceTable(), func(w WallTolerance) bool {
			return w.Standard == tube.Standard && (w.Series == "" || w.Series == tube.Series) && w.Covers(tube.Wall)
		})
		want := 1
		if without[tube.Standard] {
			want = 0
		}
		if len(rows) != want {
			t.Errorf("%s: %d rows of the tolerance table, want %d", tube.Name, len(rows), want)
		}
		for _, w := range rows {
			if minus := w.Minus(tube.Wall); minus < 0.05*tube.Wall || minus > 0.26*tube.Wall {
				t.Errorf("%s: minus tolerance %g of a wall of %g", tube.Name, minus, tube.Wall)
			}
		}
	}
}
