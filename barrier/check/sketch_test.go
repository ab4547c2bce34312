package check_test

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"example.com/stanchion/barrier"
)

// sketch is a barrier from which its definition is written. Lengths are whole millimetres, so
// that a sketch turned round, moved or cut in another place is that to the last bit.
type sketch struct {
	basis, annex, units string
	places              []int // along the run, of walls and posts
	walls               [2]string
	overhang            [2]int
	hazard              string
	legs                []leg // none: one level leg
	gaps                []int // bays without rails
	tube                tube  // of the posts
	height              int   // of the posts; 0: that of the highest rail
	level               int
	feet                []string // stiffnesses; none: not given
	base                []string // what else stands in [post.base], and its table
	turned              int      // of the flange's first bolt, deg, where it has one
	rails               []rail
	moment              string // of the fittings
	offset              int
	mass                string
	tested              bool // fittings, corners and their joints have tested values
	braces              []brace
	infill              []string
	loads               []load
	deflection          int // limit, mm; 0: none is given, negative: "none"
	scope               []string
	loose               map[int]string // feet that a survey found, by post from 0
	rename              func(string) string
}

type leg struct{ length, turn, pitch int } // mm, deg, deg

type tube struct{ tube, grade string } // as TOML values

type rail struct {
	name    string
	height  int
	tube    tube
	cut     bool
	splices []int // nil: "none"
	unknown bool  // splices are not given, and stock is short
	splice  string
}

type brace struct {
	post, height        int // post from 0
	tube                tube
	outward, along, low int
}

type load struct {
	name, lines string // lines: all that a mirror does not change
	value       float64
	unit        string
	rail        string
	direction   string
	azimuth     int // deg, where direction is empty
	elevation   int
	at          *int
	with        []string
}

func (l *load) isOwn() bool { return l.unit != "" }

func mm(v int) string { return fmt.Sprintf("%q", fmt.Sprint(v, " mm")) }

func mms(values []int) string {
	var words []string
	for _, v := range values {
		words = append(words, mm(v))
	}
	return "[" + strings.Join(words, ", ") + "]"
}

// posts returns the places of the posts, without the walls.
func (s *sketch) posts() []int {
	out := s.places
	if s.walls[0] != "" {
		out = out[1:]
	}
	if s.walls[1] != "" {
		out = out[:len(out)-1]
	}
	return out
}

// values is what a tested value is under the basis.
func (s *sketch) values() string {
	if s.basis == "AISC-ASD" {
		return `"working"`
	}
	return `"design"`
}

func (s *sketch) name(of string) string {
	if s.rename != nil {
		return s.rename(of)
	}
	return of
}

// toml writes the definition.
func (s *sketch) toml() string {
	var b strings.Builder
	line := func(format string, values ...any) { fmt.Fprintf(&b, format+"\n", values...) }
	line("basis = %q", s.basis)
	if s.annex != "" {
		line("annex = %q", s.annex)
	}
	line("units = %q", s.units)
	s.writeRun(line)
	line("[post]\ntube = %s\ngrade = %s", s.tube.tube, s.tube.grade)
	if s.height != 0 {
		line("height = %s", mm(s.height))
	}
	line("[post.base]\nlevel = %s", mm(s.level))
	switch len(s.feet) {
	case 1:
		line("stiffness = %q", s.feet[0])
	case 2:
		line("stiffness = [%q, %q]", s.feet[0], s.feet[1])
	}
	for _, l := range s.base {
		line("%s", strings.ReplaceAll(l, "TURNED", fmt.Sprintf("%q", fmt.Sprint((s.turned+360)%360, " deg"))))
	}
	for i := range s.rails {
		s.writeRail(line, &s.rails[i])
	}
	s.writeFittings(line)
	for _, br := range s.braces {
		line("[[brace]]\npost = %d\nheight = %s\ntube = %s\ngrade = %s", br.post+1, mm(br.height), br.tube.tube, br.tube.grade)
		line("foot = { outward = %s, along = %s, level = %s, uplift = \"9 kN\", downward = \"9 kN\", shear = \"9 kN\", values = %s }", mm(br.outward), mm(br.along), mm(br.low), s.values())
	}
	for _, l := range s.infill {
		line("%s", l)
	}
	for i := range s.loads {
		s.writeLoad(line, &s.loads[i])
	}
	switch {
	case s.deflection < 0:
		line("[limits]\ndeflection = \"none\"")
	case s.deflection > 0:
		line("[limits]\ndeflection = %s\noverride = true", mm(s.deflection))
	}
	if len(s.scope) > 0 {
		line("[scope]\nleave_out = [\"%s\"]", strings.Join(s.scope, "\", \""))
	}
	for post := range s.posts() {
		if k, ok := s.loose[post]; ok {
			line("[[survey.post]]\npost = %d\nfoot = %q", post+1, k)
		}
	}
	return b.String()
}

func (s *sketch) writeRun(line func(string, ...any)) {
	line("[run]\nposts = %s\ntoe_plate = \"none\"", mms(s.places))
	for i, end := range []string{"start", "end"} {
		if s.walls[i] != "" {
			line("%s = %s", end, s.walls[i])
		}
	}
	line("overhang = %s\nhazard = %q", mms(s.overhang[:]), s.hazard)
	if len(s.legs) > 0 {
		line("legs = [")
		for i, l := range s.legs {
			turn := ""
			if i > 0 {
				turn = fmt.Sprintf(", turn = \"%d deg\"", l.turn)
			}
			line("  { length = %s%s, pitch = \"%d deg\" },", mm(l.length), turn, l.pitch)
		}
		line("]")
	}
	for _, bay := range s.gaps {
		line("[[gap]]\nfrom = %s\nto = %s", mm(s.places[bay]), mm(s.places[bay+1]))
	}
}

func (s *sketch) writeRail(line func(string, ...any), r *rail) {
	line("[[rail]]\nname = %q\nheight = %s\ntube = %s\ngrade = %s", s.name(r.name), mm(r.height), r.tube.tube, r.tube.grade)
	switch {
	case r.cut:
		line("through = false")
		return
	case r.unknown:
		line("through = true\nstock = \"2 m\"")
		return
	case len(r.splices) == 0:
		line("splices = \"none\"\nstock = \"60 m\"")
	default:
		line("splices = %s\nstock = \"60 m\"", mms(r.splices))
	}
	line("splice_moment = %q", r.splice)
	if s.tested && len(r.splices) > 0 {
		if r.splice != "free" {
			line("splice_moment_resistance = \"700 Nm\"")
		}
		line("splice_slip = \"5 kN\"\nsplice_shear = \"5 kN\"\nvalues = %s", s.values())
	}
}

func (s *sketch) writeFittings(line func(string, ...any)) {
	moment := s.moment
	if !strings.HasPrefix(moment, "{") {
		moment = fmt.Sprintf("%q", moment)
	}
	const tested = "slip_force = \"5 kN\"\nslip_moment = \"250 Nm\"\nmoment_resistance = \"700 Nm\"\ntransverse_force = \"8 kN\"\nvalues = "
	line("[fitting]\nmoment = %s\noffset = %s", moment, mm(s.offset))
	if s.mass != "" {
		line("mass = %q", s.mass)
	}
	if !s.tested {
		return
	}
	line("%s%s", tested, s.values())
	if len(s.braces) > 0 {
		line("[fitting.brace]\nslip_force = \"5 kN\"\ntransverse_force = \"8 kN\"\nvalues = %s", s.values())
	}
	if s.turns() {
		line("[fitting.corner]\n%s%s", tested, s.values())
	}
}

// turns reports whether the run has a corner.
func (s *sketch) turns() bool { return len(s.legs) > 1 }

func (s *sketch) writeLoad(line func(string, ...any), l *load) {
	line("[[load]]\nname = %q", s.name(l.name))
	if l.lines != "" {
		line("%s", l.lines)
	}
	if l.unit != "" {
		line("value = \"%s %s\"", number(l.value), l.unit)
	}
	if l.rail != "" {
		line("rail = %q", s.name(l.rail))
	}
	switch {
	case l.direction != "":
		line("direction = %q", l.direction)
	case l.unit != "":
		line("direction = { azimuth = \"%d deg\", elevation = \"%d deg\" }", l.azimuth, l.elevation)
	}
	if l.at != nil {
		line("at = %s", mm(*l.at))
	}
	if len(l.with) > 0 {
		var names []string
		for _, n := range l.with {
			names = append(names, fmt.Sprintf("%q", s.name(n)))
		}
		line("with = [%s]", strings.Join(names, ", "))
	}
}

func number(v float64) string {
	return strings.TrimRight(strings.TrimRight(fmt.Sprintf("%.6f", v), "0"), ".")
}

// copied returns a sketch of its own.
func (s *sketch) copied() *sketch {
	c := *s
	c.places, c.legs, c.gaps, c.rails = slices.Clone(s.places), slices.Clone(s.legs), slices.Clone(s.gaps), slices.Clone(s.rails)
	c.braces, c.loads, c.feet = slices.Clone(s.braces), slices.Clone(s.loads), slices.Clone(s.feet)
	c.loose = map[int]string{}
	maps.Copy(c.loose, s.loose)
	for i := range c.rails {
		c.rails[i].splices = slices.Clone(s.rails[i].splices)
	}
	return &c
}

// mirrored returns the barrier seen in a mirror that stands across the run: start and end change
// places, outward stays, and so does the sense of a turn, for the run is walked the other way.
func (s *sketch) mirrored() *sketch {
	m := s.copied()
	first, last := s.places[0], s.places[len(s.places)-1]
	turn := func(values []int) {
		for i := range values {
			values[i] = first + last - values[i]
		}
		slices.Reverse(values)
	}
	turn(m.places)
	m.walls[0], m.walls[1] = s.walls[1], s.walls[0]
	m.overhang[0], m.overhang[1] = s.overhang[1], s.overhang[0]
	slices.Reverse(m.legs)
	for i := range m.legs {
		m.legs[i].pitch = -m.legs[i].pitch
		if i > 0 {
			m.legs[i].turn = s.legs[len(s.legs)-i].turn
		}
	}
	for i, bay := range s.gaps {
		m.gaps[len(s.gaps)-1-i] = len(s.places) - 2 - bay
	}
	m.turned = -s.turned
	for i := range m.rails {
		turn(m.rails[i].splices)
	}
	posts := len(s.posts())
	for i := range m.braces {
		m.braces[i].post, m.braces[i].along = posts-1-s.braces[i].post, -s.braces[i].along
	}
	m.loose = map[int]string{}
	for post, k := range s.loose {
		m.loose[posts-1-post] = k
	}
	for i := range m.loads {
		l := &m.loads[i]
		l.azimuth = 180 - l.azimuth
		if l.at != nil {
			at := first + last - *l.at
			l.at = &at
		}
	}
	return m
}

// moved returns the barrier with every place along the run counted from another point.
func (s *sketch) moved(by int) *sketch {
	m := s.copied()
	shift := func(values []int) {
		for i := range values {
			values[i] += by
		}
	}
	shift(m.places)
	for i := range m.rails {
		shift(m.rails[i].splices)
	}
	for i := range m.loads {
		if m.loads[i].at != nil {
			at := *m.loads[i].at + by
			m.loads[i].at = &at
		}
	}
	return m
}

// parsed reads a definition that a sketch wrote.
func parsed(t fataler, text string) *barrier.Definition {
	t.Helper()
	d, err := barrier.Parse("sketch.toml", []byte(text))
	if err != nil {
		t.Fatalf("%v\nof\n%s", err, text)
	}
	return d
}

type fataler interface {
	Helper()
	Fatalf(string, ...any)
	Logf(string, ...any)
}

// own is a tube of the user's own with its wall in hundredths of a millimetre, of S235 that
// weighs nothing worth naming where light.
func own(odTenths, wallHundredths int, light bool) tube {
	density := ""
	if light {
		density = `, density = "0.000001 kg/m3"`
	}
	return tube{
		fmt.Sprintf(`{ od = "%s mm", wall = "%s mm", wall_is = "nominal" }`, number(float64(odTenths)/10), number(float64(wallHundredths)/100)),
		fmt.Sprintf(`{ fy = "235 MPa", fu = "360 MPa"%s }`, density),
	}
}
