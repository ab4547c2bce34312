package barrier_test

import (
	"errors"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
)

// standing is the plan of TestSolidity on a basis, on feet of its own.
func standing(basis, base string) string {
	return strings.NewReplacer("basis = \"EN\"", "basis = \""+basis+"\"", "stiffness = \"rigid\"\n", base).Replace(solidityPlan)
}

// What a basis does not carry is refused on it, at its key, and nothing else is.
func TestRefusesWhatABasisHasNot(t *testing.T) {
	const flange = "kind = \"flange\"\nstiffness = \"rigid\"\n[post.base.flange]\nbolts = 4\ncircle = \"100 mm\"\ndiameter = \"140 mm\"\n"
	const socket = "kind = \"socket\"\nstiffness = \"rigid\"\n[post.base.socket]\ndepth = \"250 mm\"\nstrength = \"25 MPa\"\n"
	for _, c := range []struct{ basis, base, path, what string }{
		{"AS", flange + "bolt = \"M12\"\nclass = \"8.8\"\n", "post.base.flange.class", "the strength of bolt steel under basis AS is not carried"},
		{"CSA", flange + "thickness = \"12 mm\"\nfy = \"250 MPa\"\n", "post.base.flange.thickness", "the bending of a flange under basis CSA is not carried"},
		{"AS", socket + "alpha_cc = 0.85\n", "post.base.socket.alpha_cc", "basis AS has no αcc"},
	} {
		_, err := barrier.Parse("standing.toml", []byte(standing(c.basis, c.base)))
		problems, ok := errors.AsType[barrier.Problems](err)
		if !ok || len(problems) != 1 || problems[0].Path != c.path || problems[0].What != c.what {
			t.Errorf("%s: %v\nwant %s: %s", c.basis, err, c.path, c.what)
		}
	}
}

// EN 1993-1-8 Table 3.3 asks 2.2 hole diameters from bolt to bolt and 1.2 to an edge (memory). Four on a
// circle of 80 mm stand 56.6 mm apart, and 30 mm from the edge of a flange of 140 mm: M24 in holes of 26 mm
// want 57.2 and 31.2 mm, M20 in holes of 22 mm 48.4 and 26.4 mm.
func TestCautionsOfCloseBolts(t *testing.T) {
	for _, c := range []struct {
		bolt  string
		close bool
	}{{"M24", true}, {"M20", false}} {
		d, err := barrier.Parse("standing.toml", []byte(standing("EN", "kind = \"flange\"\nstiffness = \"rigid\"\n[post.base.flange]\nbolts = 4\nbolt = \""+c.bolt+"\"\ncircle = \"80 mm\"\ndiameter = \"140 mm\"\n")))
		if err != nil {
			t.Fatal(err)
		}
		cautions := strings.Join(said(d.Cautions), "\n")
		for _, want := range []string{"Bolts of the foot stand 56.57 mm apart, less than 2.2 hole diameters, 57.2 mm", "Bolts of the foot stand 30 mm from the edge of the flange, less than 1.2 hole diameters, 31.2 mm"} {
			if strings.Contains(cautions, want) != c.close {
				t.Errorf("%s: %q is told %v\n%s", c.bolt, want, !c.close, cautions)
			}
		}
	}
}

// Under AISC-ASD a bearing stress is an allowable one, and that is said; under LRFD nothing is.
func TestAllowableBearingStressIsSaid(t *testing.T) {
	for basis, asd := range map[string]bool{"AISC-ASD": true, "AISC-LRFD": false} {
		d, err := barrier.Parse("standing.toml", []byte(standing(basis, "kind = \"socket\"\nstiffness = \"rigid\"\n[post.base.socket]\ndepth = \"250 mm\"\nstress = \"8 MPa\"\n")))
		if err != nil {
			t.Fatal(err)
		}
		if got := containsPart(said(d.Assumptions), "is an allowable bearing stress"); got != asd {
			t.Errorf("%s: said %v", basis, got)
		}
	}
}
