package check

import "example.com/stanchion/barrier/analysis"

// diagrams fills moment and movement along the post with the largest base moment
// and along each rail, under the placement of the governing strength check.
func (c *run) diagrams() {
	ref := c.out.Governing.Strength
	for i := range c.worst.findings {
		f := &c.worst.findings[i]
		if f.id != ref.ID || f.element != ref.Element {
			continue
		}
		a := f.model.analysis
		post := largestPost(c.worst.posts, baseMoment)
		c.diagram(postName(post), a.Trace(a.Post(post), &f.placed), f)
		for r := range c.d.Rails {
			c.diagram("rail "+c.d.Rails[r].Name, a.Trace(a.Rail(r), &f.placed), f)
		}
		return
	}
}

func (c *run) diagram(element string, trace []analysis.TracePoint, f *finding) {
	moment := Diagram{Element: element, Quantity: "resultant moment", Unit: "Nm", Load: f.placed.LoadIn(c.o.Units)}
	moved := Diagram{Element: element, Quantity: "movement across", Unit: "mm", Load: f.placed.LoadIn(c.o.Units)}
	for _, t := range trace {
		moment.Stations, moment.Values = append(moment.Stations, t.At), append(moment.Values, t.State.Moment())
		moved.Stations, moved.Values = append(moved.Stations, t.At), append(moved.Values, t.State.Across*f.model.soft.factor()*1e3)
	}
	c.out.Diagrams = append(c.out.Diagrams, moment, moved)
}
