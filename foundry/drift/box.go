package drift

// Shape factors of the edges and corners of a box, in lengths of the edge and
// of the thickness (Langmuir, Adams and Meikle 1913, Trans. Am. Electrochem.
// Soc. 24:53; as in heat-transfer textbooks). They hold where the inside is
// more than a fifth of the thickness wide.
const (
	perEdge   = 0.54
	perCorner = 0.15
)

// Box is a chamber of inner width, depth and height in m with the same layers on
// all six sides, edges and corners counted. Flat sides alone would leave out a
// third of the loss of a small furnace with thick walls. It refuses a chamber
// narrower than a fifth of a layer.
func Box(width, depth, height float64, layers []Layer, hot, room float64, out Outside) (Wall, error) {
	var s section
	for _, l := range layers {
		t := l.Thickness
		if !sound(width, depth, height) || !(min(width, depth, height) > t/5) {
			return Wall{}, ErrWall
		}
		area := 2 * (width*depth + depth*height + height*width)
		edges := 4 * (width + depth + height)
		s.paths = append(s.paths, 1/(area/t+perEdge*edges+8*perCorner*t))
		width, depth, height = width+2*t, depth+2*t, height+2*t
	}
	s.outer = 2 * (width*depth + depth*height + height*width)
	return s.solve(layers, hot, room, out)
}
