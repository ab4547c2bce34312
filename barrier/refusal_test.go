package barrier_test

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
)

// TestRefuses changes whole barriers by one fault each: a line of the file for another, or a table at its
// end. The key is named, and no other fault is told.
func TestRefuses(t *testing.T) {
	const (
		flange = "boiler-gallery"
		socket = "bund-path"
		weight = "hangar-roof"
		side   = "mill-platform"
		earth  = "orchard-bank"
		plain  = "gallery"
	)
	const circle = "circle        = \"100 mm\"\nturned        = \"45 deg\""
	const ownFriction = `friction   = { value = 0.6, values = "characteristic", values_factor = 1.2 }`
	for _, c := range []struct {
		example, from, to string // an empty from stands for the end of the file
		path, what        string
	}{
		{flange, circle, `at = [["50 mm", "0 mm"]]`, "post.base.flange.at", "a list of 1 bolts"},
		{flange, circle, `at = [["50 mm", "0 mm"], ["-50 mm", "0 mm"]]`, "post.base.flange.bolts", "bolts = 4, and at lists 2"},
		{flange, "bolts         = 4\n" + circle, `at = [["50 mm", "0 mm"], "-50 mm"]`, "post.base.flange.at[1]", "a bolt has two distances from the axis of the post"},
		{flange, `diameter      = "140 mm"`, `size = ["160 mm"]`, "post.base.flange.size", "two lengths are wanted, this list has 1"},
		{flange, `diameter      = "140 mm"`, "diameter = \"140 mm\"\nsize = [\"140 mm\", \"140 mm\"]", "post.base.flange.size", "the flange is round already: diameter is given"},
		{flange, `prying        = "plate"`, "prying = \"plate\"\nbearing = \"50 mm\"", "post.base.flange.bearing", "the flange bears at its edge only by request"},
		{flange, `prying        = "plate"`, "prying = \"plate\"\nconcrete = \"10 MPa\"", "post.base.flange.concrete", "the stress on the concrete is of the method of the bearing block"},
		{flange, `prying        = "plate"`, "prying = \"plate\"\nmethod = \"block\"", "post.base.flange", "concrete is missing"},
		{flange, `prying        = "plate"`, `prying = 7`, "post.base.flange.prying", "a factor from 1 to 5 is wanted"},
		{flange, "thickness     = \"12 mm\"\nfy            = \"235 MPa\"\n", "", "post.base.flange.prying", "prying goes by the plate, and the plate is not described"},
		{socket, `alpha_cc = 0.85`, `stress = "8 MPa"`, "post.base.socket.stress", "strength and stress are both given"},
		{socket, `strength = "25 MPa"`, `strength = "2500 MPa"`, "post.base.socket.strength", "no concrete bears 2500 MPa"},
		{socket, `cover    = "125 mm"`, `cover = "-5 mm"`, "post.base.socket.cover", "the tube stands out of the concrete: its cover is -5 mm"},
		{weight, ownFriction, `friction = { value = 0, values = "design" }`, "post.base.counterweight.friction.value", "a coefficient of friction is more than 0"},
		{weight, ownFriction, `friction = { contact = "rubber mat", place = "outdoors", value = 0.4 }`, "post.base.counterweight.friction.value", "contact and value are both given"},
		{weight, ownFriction, `friction = { values = "design" }`, "post.base.counterweight.friction", "nothing says what the friction is"},
		{side, "columns        = 2\n", "plate_width = \"100 mm\"\n", "post.base.side.column_spacing", "one column of bolts has no spacing"},
		{side, `columns        = 2`, `columns = 5`, "post.base.side.columns", "columns = 5 is no number of bolts in a row"},
		{earth, `diameter = "12 in"`, "diameter = \"12 in\"\nside = \"12 in\"", "post.base.earth.side", "diameter and side are both given"},
		{earth, `diameter = "12 in"`, `side = "1 in"`, "post.base.earth.side", "the footing is 1 in wide, and the tube in it 1.9 in"},
		{earth, `embedded = "30 in"`, `embedded = "1 in"`, "post.base.earth.embedded", "the post stands 1 in deep in its concrete, less than its own diameter, 1.9 in"},
		{earth, `embedded = "30 in"`, `embedded = "60 in"`, "post.base.earth.embedded", "the post reaches 60 in into a footing of 52 in"},
		{earth, `strength = "3 ksi"`, `strength = "300 ksi"`, "post.base.earth.strength", "no concrete bears 300.00 ksi"},
		{plain, "", "[prooftest]\nbay = 2.5\nforce = \"0.3 kN\"\n", "prooftest.bay", "the number of a bay is wanted, this is a number with a point"},
		{plain, "", "[prooftest]\nforce = \"0.3 kN\"\n", "prooftest", "nothing says where the test load is"},
		{plain, "", "[[survey.post]]\npost = []\nwall = \"3 mm\"\n", "survey.post[0].post", "the list of posts is empty"},
		{plain, "", "[[survey.post]]\nwall = \"3 mm\"\n", "survey.post[0]", "post is missing"},
		{plain, "", "[[load]]\nkind = \"ice\"\nclass = \"G2\"\ndensity = \"900 kg/m3\"\n", "load[1].density", "a class of glaze has a density of its own"},
		{plain, "", "[survey]\ncoating_left = \"-5 um\"\n", "survey.coating_left", "the coating is negative"},
		{plain, "", "[[survey.rail]]\nrail = \"top\"\n", "survey.rail[0]", "nothing was measured of the rail"},
		{plain, "", "[[survey.rail]]\nwall = \"3 mm\"\n", "survey.rail[0]", "rail is missing"},
	} {
		text := readFile(t, "../testdata/"+c.example+".toml")
		if c.from == "" {
			text += "\n" + c.to
		} else {
			if !strings.Contains(text, c.from) {
				t.Errorf("%s has no %q", c.example, c.from)
			}
			text = strings.Replace(text, c.from, c.to, 1)
		}
		_, err := barrier.Parse(c.example+".toml", []byte(text))
		problems, _ := errors.AsType[barrier.Problems](err)
		told := slices.ContainsFunc(problems, func(p *barrier.Problem) bool {
			return p.Path == c.path && strings.HasPrefix(p.What, c.what) && p.Fix != ""
		})
		if !told || len(problems) != 1 {
			t.Errorf("%s with %q gives\n%v\nwant %s: %s", c.example, c.to, err, c.path, c.what)
		}
	}
}
