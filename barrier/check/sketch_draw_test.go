package check_test

import (
	"fmt"
	"slices"
	"strings"

	"pgregory.net/rapid"
)

// market is what a basis buys and is loaded with.
type market struct {
	basis     string
	annexes   []string
	tubes     []tube
	schedules []string
}

func table(name, grade string) tube { return tube{fmt.Sprintf("%q", name), fmt.Sprintf("%q", grade)} }

// markets returns tubes and schedules by basis. Each has a tube of the user's own.
func markets() []market {
	a500 := []tube{table("ASTM A500 1.900x0.145", "Grade C to 2018"), table("ASTM A500 1.900x0.188", "Grade C to 2018"), table("ASTM A500 2.375x0.154", "Grade C to 2018"), own(483, 400, false)}
	us := append([]tube{table("ASTM A53 NPS 1-1/4 STD", "ASTM A53 Grade B"), table("ASTM B429 NPS 1-1/2 Sch 80", "ASTM B221 / B241 / B429 6061-T6")}, a500...)
	occupied := func(schedule, occupancy string) string {
		return fmt.Sprintf("schedule = %q\noccupancy = %q", schedule, occupancy)
	}
	named := func(schedule string) string { return fmt.Sprintf("schedule = %q", schedule) }
	osha := []string{named("29 CFR 1910.29"), named("29 CFR 1926.502"), occupied("IBC 2021", "dwelling")}
	return []market{
		{"EN", []string{"", "", "UK", "DE"}, []tube{
			table("EN 10255 DN40 medium", "S195T"), table("EN 10255 DN32 heavy", "S195T"), table("EN 10219 48.3x3.2", "S235JRH"), table("EN 10219 48.3x2.0", "S355J2H"),
			table("EN 10210 60.3x4.0", "S275J0H"), table("EN 755 48.3x4.0", "EN AW-6082 T6 ET"), own(424, 320, false), own(483, 265, false),
		}, []string{named("EN ISO 14122-3"), named("EN 13374 A"), occupied("EN 1991-1-1", "B"), occupied("EN 1991-1-1 UK", "v")}},
		{"AISC-LRFD", []string{""}, us, osha},
		{"AISC-ASD", []string{""}, us, osha},
		{"AS", []string{""}, []tube{table("AS/NZS 1163 48.3x3.2", "C350L0"), table("AS/NZS 1163 42.4x2.6", "C350L0"), table("AS 1074 DN40 medium", "ordinary"), own(483, 300, false)},
			[]string{named("AS 1657:2018"), occupied("AS/NZS 1170.1", "B/E ii")}},
		{"CSA", []string{""}, a500, []string{occupied("NBC 2010-2020", "industrial")}},
	}
}

// drawing draws a random barrier that the reader takes.
type drawing struct {
	t *rapid.T
	s *sketch
	m market
}

func (d *drawing) chance(of int, what string) bool {
	return rapid.IntRange(1, of).Draw(d.t, what) == of
}

func (d *drawing) number(from, to int, what string) int {
	return rapid.IntRange(from, to).Draw(d.t, what)
}

func pick[T any](d *drawing, what string, from ...T) T {
	return rapid.SampledFrom(from).Draw(d.t, what)
}

// draw draws a barrier of every kind. What a property does not hold of it takes off.
func draw(t *rapid.T) *sketch {
	d := &drawing{t: t, s: &sketch{units: "metric", moment: "free", loose: map[int]string{}}}
	d.m = pick(d, "basis", markets()...)
	d.s.basis, d.s.annex = d.m.basis, pick(d, "annex", d.m.annexes...)
	d.run()
	d.posts()
	d.allRails()
	d.fittings()
	d.allBraces()
	d.allInfill()
	d.allLoads()
	d.limits()
	return d.s
}

// run draws 2 to 9 places, seldom many, walls, overhangs, corners, slopes and gaps.
func (d *drawing) run() {
	s := d.s
	bays := d.number(1, 4, "bays")
	if d.chance(8, "long") {
		bays = d.number(5, 8, "many bays")
	}
	corners := map[int]bool{}
	if bays > 1 && d.chance(3, "legs") {
		corners[d.number(1, bays-1, "corner")] = true
		if bays > 3 && d.chance(3, "second corner") {
			corners[d.number(1, bays-1, "other corner")] = true
		}
	}
	s.places = []int{0}
	even := d.number(600, 2000, "bay")
	from := 0
	pitched := d.chance(4, "pitched")
	for i := range bays {
		bay := even
		if d.chance(3, "odd bay") {
			bay = d.number(500, 2200, "bay")
		}
		s.places = append(s.places, s.places[i]+bay)
		if corners[i+1] || i == bays-1 && (len(corners) > 0 || pitched) {
			l := leg{length: s.places[i+1] - from, turn: pick(d, "turn", -90, -45, 30, 60, 90)}
			if pitched {
				l.pitch = pick(d, "pitch", 0, 32, -20)
			}
			s.legs, from = append(s.legs, l), s.places[i+1]
		}
	}
	if bays > 2 && d.chance(4, "gap") {
		s.gaps = []int{d.number(2, bays-1, "gap bay") - 1}
	}
	for end := range s.walls {
		switch {
		case bays > 2 && d.chance(6, "wall"):
			s.walls[end] = pick(d, "wall end", `"wall"`, `{ kind = "wall", along = "held" }`, `{ kind = "wall", along = "held", rotation = ["run", "up"], pull = "4 kN", shear = "3 kN", values = `+s.values()+` }`)
		case d.chance(4, "overhang"):
			s.overhang[end] = d.number(50, 400, "overhang")
		}
	}
	s.hazard = pick(d, "hazard", "left", "left", "right")
}

// posts draws tube, height and foot.
func (d *drawing) posts() {
	s := d.s
	s.tube = pick(d, "post tube", d.m.tubes...)
	s.level = pick(d, "level", 0, 0, 0, -60, -150)
	s.feet = pick(d, "feet", []string{"rigid"}, []string{"rigid"}, []string{"80 kNm/rad"}, []string{"150 kNm/rad"}, []string{"35 kNm/rad"}, []string{"60 kNm/rad", "200 kNm/rad"}, nil)
	socket := "socket_moment = \"1.6 kNm\"\nsocket_uplift = \"4 kN\"\nsocket_twist = \"0.2 kNm\"\nvalues = " + s.values()
	s.turned = pick(d, "turned", 0, 20, 45)
	s.base = pick(d, "base", nil, nil, []string{socket}, []string{"kind = \"flange\"", socket, "[post.base.flange]\nbolts = 3\ncircle = \"110 mm\"\nturned = TURNED\ndiameter = \"150 mm\"\ntension = \"14 kN\"\nshear = \"9 kN\"\nvalues = " + s.values()},
		[]string{"kind = \"side\"", socket, "[post.base.side]\nface = \"inward\"\neccentricity = \"70 mm\"\nspacing = \"120 mm\"\ncolumns = 2\ncolumn_spacing = \"100 mm\"\nbottom = \"40 mm\"\ntop = \"40 mm\"\ntension = \"9 kN\"\nshear = \"8 kN\"\nvalues = " + s.values()},
		[]string{"kind = \"socket\"", "[post.base.socket]\ndepth = \"150 mm\"\nstrength = \"25 MPa\""})
	if len(s.feet) == 1 && s.feet[0] != "rigid" && d.chance(6, "loose") {
		s.loose[d.number(1, len(s.posts()), "loose post")-1] = "12 kNm/rad"
	}
}

// allRails draws 1 to 3 rails, the highest first, one of them seldom too long for its stock.
func (d *drawing) allRails() {
	s := d.s
	heights := []int{d.number(950, 1200, "top"), d.number(480, 650, "knee"), d.number(150, 300, "low")}
	same := pick(d, "rail tube", d.m.tubes...)
	for i, h := range heights[:d.number(1, 3, "rails")] {
		r := rail{name: []string{"top", "knee", "low"}[i], height: h, tube: same, splice: "free"}
		if d.chance(3, "other tube") {
			r.tube = pick(d, "rail tube", d.m.tubes...)
		}
		switch d.number(1, 6, "continuity") {
		case 1:
			r.cut = true
		case 2:
			r.splices = d.splices()
			r.splice = pick(d, "splice", "free", "rigid", "4 kNm/rad")
		case 3:
			r.unknown = len(s.legs) == 0 && len(s.gaps) == 0
		}
		s.rails = append(s.rails, r)
	}
	if d.chance(4, "stub") {
		s.height = heights[0] + 60
	}
}

// splices puts one into some bays, and none into one bay of each stretch between corners, gaps and ends.
func (d *drawing) splices() (out []int) {
	s := d.s
	from := 0
	corner, reach := map[int]bool{}, 0
	for _, l := range s.legs {
		reach += l.length
		corner[reach] = true
	}
	for bay := range len(s.places) - 1 {
		last := bay == len(s.places)-2 || corner[s.places[bay+1]] || slices.Contains(s.gaps, bay+1)
		if !last {
			continue
		}
		if slices.Contains(s.gaps, from) {
			from++
		}
		if from <= bay {
			spare := d.number(from, bay, "whole bay")
			for i := from; i <= bay; i++ {
				if i != spare && d.chance(2, "splice") {
					share := d.number(15, 85, "splice at")
					out = append(out, s.places[i]+(s.places[i+1]-s.places[i])*share/100)
				}
			}
		}
		from = bay + 1
	}
	return out
}

func (d *drawing) fittings() {
	s := d.s
	s.tested = d.chance(2, "tested")
	s.moment = pick(d, "moment", "free", "free", "gripped", "rigid", "4 kNm/rad", `{ about_rail = "7.5 kNm/rad" }`)
	s.mass = pick(d, "mass", "", "0.7 kg")
	if d.chance(5, "offset") {
		s.offset = pick(d, "offset by", 50, -45)
	}
}

// allBraces draws one at a post of a straight level run.
func (d *drawing) allBraces() {
	s := d.s
	if len(s.legs) > 0 || !d.chance(6, "brace") {
		return
	}
	s.braces = []brace{{
		post: d.number(1, len(s.posts()), "braced post") - 1, height: s.rails[0].height - d.number(80, 200, "below top"), tube: s.tube,
		outward: pick(d, "brace outward", -700, -500, 600), along: pick(d, "brace along", 0, 0, -300, 250), low: pick(d, "brace foot", 0, -100),
	}}
}

func (d *drawing) allInfill() {
	if len(d.s.rails) < 2 || !d.chance(5, "infill") {
		return
	}
	carried := pick(d, "carried", "carried_by = \"posts\"", fmt.Sprintf("rails = [%q, %q]", d.s.rails[0].name, d.s.rails[1].name))
	d.s.infill = []string{"[infill]\nkind = \"mesh\"\nmass = \"4.5 kg/m2\"\nsolidity = 0.35\nopening = \"50 mm\"\n" + carried}
}

// allLoads draws 1 to 3 loads, of the basis and of the user's own; wind acts with one of them.
func (d *drawing) allLoads() {
	s := d.s
	for i := range d.number(1, 2, "loads") {
		name := fmt.Sprintf("load %d", i+1)
		if d.chance(4, "schedule") {
			lines := pick(d, "schedule", d.m.schedules...)
			if s.annex == "DE" { // which has two loads for category B
				lines = strings.Replace(lines, "\"B\"", "\"C5\"", 1)
			}
			s.loads = append(s.loads, load{name: name, lines: lines})
			break // not two of them, nor one with a load that its standard has act alone
		}
		s.loads = append(s.loads, d.own(name))
	}
	if d.chance(4, "wind") {
		w := load{name: "wind", lines: "kind = \"wind\"", direction: pick(d, "wind direction", "across", "outward", "horizontal")}
		w.lines += fmt.Sprintf("\npressure = \"%d N/m2\"", d.number(200, 900, "pressure"))
		if first := &s.loads[0]; first.isOwn() && d.chance(2, "with wind") {
			first.with = []string{"wind"}
		}
		s.loads = append(s.loads, w)
	}
}

// own draws a load of the user's own: one that stays within the levels at which barriers are
// loaded, so that most pass or fail by something.
func (d *drawing) own(name string) load {
	s := d.s
	l := load{name: name, direction: pick(d, "direction", "outward", "outward", "inward", "across", "down", "up", "along", "horizontal", "any", "")}
	l.azimuth, l.elevation = d.number(-180, 180, "azimuth"), d.number(-80, 80, "elevation")
	kinds := []string{"point", "point", "line"}
	if len(s.infill) > 0 {
		kinds = append(kinds, "area")
	}
	switch kind := pick(d, "kind", kinds...); kind {
	case "point":
		l.lines, l.value, l.unit, l.rail = "kind = \"point\"", float64(d.number(100, 1200, "newtons")), "N", d.railName()
		if l.direction != "horizontal" && l.direction != "any" && d.chance(4, "fixed") {
			at := d.place()
			l.at = &at
		}
	case "line":
		l.lines, l.value, l.unit, l.rail = "kind = \"line\"", float64(d.number(50, 900, "newtons per metre")), "N/m", d.railName()
	case "area":
		l.lines, l.value, l.unit = "kind = \"area\"", float64(d.number(100, 1000, "pressure")), "N/m2"
		l.direction = pick(d, "area direction", "outward", "inward", "across")
	}
	return l
}

func (d *drawing) railName() string {
	return d.s.rails[d.number(1, len(d.s.rails), "rail")-1].name
}

// place draws a place at which there is a rail: at a post or within a bay.
func (d *drawing) place() int {
	s := d.s
	var bays []int
	for i := range len(s.places) - 1 {
		if !slices.Contains(s.gaps, i) {
			bays = append(bays, i)
		}
	}
	bay := pick(d, "loaded bay", bays...)
	return s.places[bay] + (s.places[bay+1]-s.places[bay])*pick(d, "share", 0, 100, 30, 50, 77)/100
}

func (d *drawing) limits() {
	d.s.deflection = pick(d, "deflection", 25, 40, 60, 0)
	if d.s.deflection == 0 && d.s.isOwn() {
		d.s.deflection = -1
	}
	if d.chance(3, "left out") {
		d.s.scope = pick(d, "scope", []string{"fitting"}, []string{"base"}, []string{"fitting", "base", "geometry"})
	}
}

// isOwn reports whether no load is of a schedule, which may limit movements.
func (s *sketch) isOwn() bool {
	return !slices.ContainsFunc(s.loads, func(l load) bool { return strings.Contains(l.lines, "schedule") })
}
