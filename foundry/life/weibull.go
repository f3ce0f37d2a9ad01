package life

import "math"

// Weibull is a curve of lives: exp(−(t/Scale)^Shape) of the pieces last longer
// than t (Weibull 1951, J. Appl. Mech. 18, 293). With a shape above 1 the old
// go sooner than the new. Both are above 0.
type Weibull struct {
	Shape float64 `json:"shape"`
	Scale float64 `json:"scale"` // 63 % have worn out by then
}

// By is the age by which a share p has worn out: 0.1 for what is called B10.
func (w Weibull) By(p float64) float64 {
	return w.Scale * math.Pow(-math.Log1p(-p), 1/w.Shape)
}

// Mean is the mean life.
func (w Weibull) Mean() float64 { return w.Scale * math.Gamma(1+1/w.Shape) }

// SD is the standard deviation of lives.
func (w Weibull) SD() float64 {
	m := math.Gamma(1 + 1/w.Shape)
	return w.Scale * math.Sqrt(max(0, math.Gamma(1+2/w.Shape)-m*m))
}

// More is what a piece of that age still does with a chance 1−p: p = 0.5 is the
// median of the life left.
func (w Weibull) More(age, p float64) float64 {
	return w.Scale*math.Pow(math.Pow(age/w.Scale, w.Shape)-math.Log1p(-p), 1/w.Shape) - age
}

// Ends is the chance that a piece of that age wears out within next more.
func (w Weibull) Ends(age, next float64) float64 {
	return -math.Expm1(math.Pow(age/w.Scale, w.Shape) - math.Pow((age+next)/w.Scale, w.Shape))
}
