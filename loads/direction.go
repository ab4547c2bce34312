package loads

// The words for the direction of an action, seen from a barrier whose run lies along X:
// outward is horizontal and normal to the run, towards the hazard.
const (
	Outward       = "outward"
	Inward        = "inward"
	Across        = "across" // outward or inward
	Down          = "down"
	Up            = "up"
	Along         = "along"              // the run, either way
	Horizontal    = "horizontal"         // every horizontal direction
	AnyDirection  = "any"                // every direction in space
	OutwardOrDown = "outward or down"    // two ways: straight outward, or straight down
	OutwardToDown = "outward to down"    // every direction from outward to down, in the plane normal to the run
	DownCone      = "down within 10 deg" // every direction within ConeAngle of straight down
)

// ConeAngle is the half angle, in degrees, of the cone of [DownCone].
const ConeAngle = 10

// directions returns the words for a direction.
func directions() []string {
	return []string{Outward, Inward, Across, Down, Up, Along, Horizontal, AnyDirection, OutwardOrDown, OutwardToDown, DownCone}
}

// pointsDown reports whether straight down is among the directions of the word.
func pointsDown(word string) bool {
	switch word {
	case Down, AnyDirection, OutwardOrDown, OutwardToDown, DownCone:
		return true
	}
	return false
}
