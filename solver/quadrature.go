package solver

// quadrature is the points of a rule on (-1, 1), each with its weight. Source of the rules:
// Abramowitz and Stegun, Table 25.4.
type quadrature [][2]float64

var (
	// gaussTwo is exact to the third degree: an even load on a cubic shape.
	gaussTwo = quadrature{{-0.577350269189625764, 1}, {0.577350269189625764, 1}}
	// gaussThree is exact to the fifth degree: a linear load on a cubic shape is of the fourth.
	gaussThree = quadrature{{-0.774596669241483377, 5.0 / 9}, {0, 8.0 / 9}, {0.774596669241483377, 5.0 / 9}}
	// gaussFive is exact to the ninth: an axial force is of the second, a slope under a linear
	// load of the fourth, that of a shape function of the second; two shape functions of the
	// sixth.
	gaussFive = quadrature{
		{-0.906179845938663993, 0.236926885056189088}, {-0.538469310105683091, 0.478628670499366468},
		{0, 128.0 / 225},
		{0.538469310105683091, 0.478628670499366468}, {0.906179845938663993, 0.236926885056189088},
	}
)

// each visits the points between two stations with the length each stands for.
func (q quadrature) each(from, to float64, visit func(x, length float64)) {
	mid, half := 0.5*(from+to), 0.5*(to-from)
	for _, p := range q {
		visit(mid+half*p[0], half*p[1])
	}
}
