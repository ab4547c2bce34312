package barrier

import (
	"example.com/stanchion/internal/quantity"
)

// baseKinds are the kinds of foot, in document order.
func baseKinds() []string {
	return []string{string(FlangeBase), string(SocketBase), string(EarthBase), string(SideBase), string(CounterweightBase)}
}

// baseTableOf is the table of a kind of foot.
func baseTableOf(kind string) tableKind { return tableKind("[post.base." + kind + "]") }

// readKind reads what kind of foot the post has, with the table of that kind, and the tested
// values of its socket. The post's own tube and height are read before.
func (t table) readKind(b *Base, p *postDraft) {
	b.Socket = t.readSocketTested()
	word, ok := t.word("kind", baseKinds(), nil)
	b.Kind = BaseKind(word)
	for _, other := range baseKinds() {
		if t.has(other) && other != word && (ok || !t.has("kind")) {
			t.faultOfKey(t.at(other), "a table of a foot that is not "+quote(other), `write kind = "`+other+`" in [post.base], or leave the table out`)
		}
	}
	if !ok {
		return
	}
	given, ok := t.child(word, baseTableOf(word))
	if !ok {
		if t.absent(word) {
			t.fault(t.at("kind"), "the foot is not described", "add [post.base."+word+"] with its keys")
		}
		return
	}
	switch b.Kind {
	case FlangeBase:
		b.Flange = given.readFlange(p)
	case SocketBase:
		b.Concrete = given.readConcrete(p)
	case EarthBase:
		b.Earth = given.readEarth(p)
		if !b.Earth.GroundAt {
			b.Earth.Ground = b.Level
		}
	case SideBase:
		b.Bracket = given.readBracket(p)
	case CounterweightBase:
		b.Counterweight = given.readCounterweight(p)
		if t.has("loose") && !b.Loose {
			t.fault(t.at("loose"), "a counterweighted foot stands by its weight", "leave loose out")
		}
		b.Loose = true
	}
}

// readSocketTested reads the tested values of the socket.
func (t table) readSocketTested() SocketTested {
	v := SocketTested{
		Moment: t.tested("socket_moment", quantity.Moment),
		Uplift: t.tested("socket_uplift", quantity.Force),
		Twist:  t.tested("socket_twist", quantity.Moment),
	}
	v.Values, v.ValuesFactor = t.readValues("socket_moment", "socket_uplift", "socket_twist")
	return v
}
