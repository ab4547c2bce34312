package barrier

import (
	"os"
	"strings"
	"testing"

	"example.com/stanchion/internal/quantity"
)

// What is drilled is read with its defaults: both walls, at fittings, said.
func TestNetIsRead(t *testing.T) {
	data, err := os.ReadFile("testdata/gallery.toml")
	if err != nil {
		t.Fatal(err)
	}
	for net, want := range map[string]Net{
		`net = { hole = "8.5 mm" }`:                               {8.5e-3, 2},
		`net = { hole = "8.5 mm", at = "fittings", walls = 1 }`:   {8.5e-3, 1},
		"net.hole = \"0.25 in\"\nnet.walls = 2":                   {0.00635, 2},
		`net = { hole = "24.15 mm", at = "fittings", walls = 2 }`: {24.15e-3, 2},
	} {
		d, err := Parse("gallery.toml", []byte(strings.Replace(string(data), "[post]\n", "[post]\n"+net+"\n", 1)))
		if err != nil {
			t.Errorf("%s: %v", net, err)
			continue
		}
		if got := d.Post.Net; got == nil || got.Walls != want.Walls || got.Hole < want.Hole-1e-12 || got.Hole > want.Hole+1e-12 {
			t.Errorf("%s is read as %+v, want %+v", net, got, want)
		}
		if d.Rails[0].Net != nil {
			t.Errorf("%s drills a rail", net)
		}
		said := false
		for _, s := range d.Assumptions {
			said = said || strings.Contains(s.In(quantity.Metric), "goes through both walls")
		}
		if said == strings.Contains(net, "walls") {
			t.Errorf("%s: that both walls are assumed is told: %t", net, said)
		}
	}
}
