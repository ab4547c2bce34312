package check

import (
	"math"
	"slices"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
)

// The socket of every post is checked against its tested values, at the same moment as the
// base actions tell; what has none is a demand that nothing checks.
func TestSocket(t *testing.T) {
	s := throughRails()
	s.scope = ""
	d := s.definition(t)
	d.Post.Base.Kind = barrier.FlangeBase
	moment := 2000.0
	d.Post.Base.Socket = barrier.SocketTested{Moment: &moment, Values: barrier.Characteristic, ValuesFactor: 1.25}
	r := result(t, d, Options{Trails: true})
	found := 0
	for _, row := range r.Checks {
		if row.ID != "base-socket-moment" {
			continue
		}
		found++
		for _, p := range r.Posts {
			if postName(p.Post-1) != row.Element {
				continue
			}
			if math.Abs(row.Demand-p.BaseMoment) > 1e-6*p.BaseMoment {
				t.Errorf("%s: the socket carries %v, the base %v", row.Element, row.Demand, p.BaseMoment)
			}
		}
		if math.Abs(row.Resistance-1600) > 1e-9 {
			t.Errorf("resistance %v, want 2000/1.25", row.Resistance)
		}
	}
	if found != len(r.Posts) {
		t.Errorf("%d rows of sockets for %d posts: %+v", found, len(r.Posts), r.Unchecked)
	}
	if r.Status == Pass {
		t.Error("passes though uplift, twist, flange and ground are not checked")
	}
}

// A described foot whose every demand is judged is among what passes, its load path ends at the
// ground, and the caution about the ground stands at the top; one that lacks a value is not.
func TestFeetThatPass(t *testing.T) {
	for _, name := range []string{"boiler-gallery.toml", "mill-platform.toml", "bund-path.toml", "orchard-bank.toml", "hangar-roof.toml"} {
		d := example(t, name)
		r := result(t, d, Options{})
		last := r.LoadPath[len(r.LoadPath)-1]
		if r.Status != Pass || !strings.Contains(r.Headline, "feet") || last.Link != groundLink || last.Status != Checked {
			t.Errorf("%s: %s, %q, the load path ends with %+v; want pass with feet, to the ground", name, r.Status, r.Headline, last)
		}
		if i := slices.IndexFunc(r.Cautions, func(c Caution) bool { return c.ID == "C5" }); !r.Cautions[i].Triggered {
			t.Errorf("%s: C5 is not at the top", name)
		}
		d = example(t, name)
		d.Post.Base.Socket = barrier.SocketTested{}
		switch d.Post.Base.Kind {
		case barrier.SocketBase:
			d.Post.Base.Concrete.Cover = nil
		case barrier.EarthBase:
			d.Post.Base.Earth.Mass = nil
		}
		if r := result(t, d, Options{}); r.Status != Incomplete || strings.Contains(r.Headline, "feet") {
			t.Errorf("%s without a value: %s, %q; want incomplete, without feet", name, r.Status, r.Headline)
		}
	}
}

// A load straight down presses a socket in concrete alone: nothing lifts, turns or bends it, and the
// load path goes on to what carries the concrete.
func TestLoadPathOfASocketThatIsPressedAlone(t *testing.T) {
	s := lonePosts()
	s.knee, s.scope, s.limits = "", "leave_out = [\"fitting\", \"geometry\"]", "deflection = \"none\""
	s.base = "kind = \"socket\"\nstiffness = \"150 kNm/rad\"\nsocket = { depth = \"200 mm\", cover = \"100 mm\" }"
	s.load = "name = \"people\"\nkind = \"point\"\nvalue = \"600 N\"\ndirection = \"down\""
	path := s.check(t).LoadPath
	if last := path[len(path)-1]; last.Link != groundLink || last.Utilisation != nil || last.Note == "" {
		t.Errorf("the load path ends in %+v", last)
	}
}
