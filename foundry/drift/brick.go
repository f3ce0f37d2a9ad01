package drift

// Conducts is how well a material conducts heat at a mean temperature.
type Conducts struct {
	Celsius float64 `json:"celsius"`
	Watts   float64 `json:"w_per_m_k"` // W/(m·K)
}

// Brick is an insulating material for a wall. Its points rise in temperature;
// between them it is a straight line, beyond them it stays as it is.
type Brick struct {
	Name   string     `json:"name"`
	Points []Conducts `json:"points"`
	Source string     `json:"source"`
}

// Bricks are insulating fire bricks by their grade. Makers differ by a fifth and
// more: the maker's own figures are better.
var Bricks = []Brick{
	{"insulating fire brick, group 23 (1260 °C)", []Conducts{{400, 0.12}, {600, 0.14}, {800, 0.17}, {1000, 0.19}},
		"brick makers' data sheets, from memory"},
	{"insulating fire brick, group 26 (1430 °C), pressed", []Conducts{{400, 0.25}, {600, 0.27}, {800, 0.30}, {1000, 0.33}},
		"brick makers' data sheets, from memory"},
	{"insulating fire brick, 1280 °C, 604 kg/m³", []Conducts{{300, 0.20}, {750, 0.28}, {1000, 0.32}},
		"a building-trade data sheet, 2011"},
}

// Plain is a material whose conductivity is taken for the same everywhere.
func Plain(name string, watts float64) Brick {
	return Brick{Name: name, Points: []Conducts{{0, watts}}}
}

// usable reports whether the points rise and conduct.
func (b Brick) usable() bool {
	for i, p := range b.Points {
		if !sound(p.Celsius, p.Watts) || !(p.Watts > 0) || i > 0 && p.Celsius <= b.Points[i-1].Celsius {
			return false
		}
	}
	return len(b.Points) > 0
}

// At is the conductivity in W/(m·K) at a mean temperature in °C.
func (b Brick) At(celsius float64) float64 {
	for i := len(b.Points) - 1; i >= 0; i-- {
		p := b.Points[i]
		switch {
		case celsius < p.Celsius:
			continue
		case i == len(b.Points)-1:
			return p.Watts
		}
		q := b.Points[i+1]
		return p.Watts + (q.Watts-p.Watts)*(celsius-p.Celsius)/(q.Celsius-p.Celsius)
	}
	return b.Points[0].Watts
}

// passes is what a layer lets through between its faces in °C, times its
// thickness, in W/m: the conductivity at their mean temperature, as makers
// measure and state it, times their difference.
func (b Brick) passes(hot, cold float64) float64 {
	return b.At((hot+cold)/2) * (hot - cold)
}

// cooler is the other face's temperature when `through` W/m pass a layer that is
// hot on one face, by halving between the least and the most it can fall.
func (b Brick) cooler(hot, through float64) float64 {
	least := b.Points[0].Watts
	for _, p := range b.Points {
		least = min(least, p.Watts)
	}
	low, high := hot-through/least, hot
	for range 60 {
		middle := (low + high) / 2
		if b.passes(hot, middle) > through {
			low = middle
		} else {
			high = middle
		}
	}
	return (low + high) / 2
}
