package drift

import (
	"errors"
	"math"
)

// Layer is one layer of a wall, from the hot side outwards.
type Layer struct {
	Brick     Brick   `json:"brick"`
	Thickness float64 `json:"thickness"` // m
}

// Wall is what passes through a wall once it has warmed through: steady
// conduction, no joints, no moisture to drive out.
type Wall struct {
	Watts float64   `json:"watts"` // through the whole area or length
	Faces []float64 `json:"faces"` // °C: the hot face, between the layers, the outside
	// Surface is the coefficient at the outside, W/(m²·K).
	Surface float64 `json:"surface"`
}

// ErrWall says that a wall cannot be worked out: a thickness, a conductivity or
// a size that is not above zero, or a hot face not hotter than the room.
var ErrWall = errors.New("drift: not a wall that heat can pass")

// Plane is a flat wall of an area in m² between a hot face and a room in °C,
// such as a lid. For a whole chamber see Box.
func Plane(area float64, layers []Layer, hot, room float64, out Outside) (Wall, error) {
	if !(area > 0) || !sound(area) {
		return Wall{}, ErrWall
	}
	s := section{outer: area}
	for _, l := range layers {
		s.paths = append(s.paths, l.Thickness/area)
	}
	return s.solve(layers, hot, room, out)
}

// Cylinder is the round wall of a pot furnace: inner radius and length in m, the
// layers wrapped round it. Lid and floor are planes of their own; the edges
// between are left out.
func Cylinder(radius, length float64, layers []Layer, hot, room float64, out Outside) (Wall, error) {
	if !(radius > 0) || !(length > 0) || !sound(radius, length) {
		return Wall{}, ErrWall
	}
	s := section{}
	for _, l := range layers {
		next := radius + l.Thickness
		s.paths = append(s.paths, math.Log(next/radius)/(2*math.Pi*length))
		radius = next
	}
	s.outer = 2 * math.Pi * radius * length
	return s.solve(layers, hot, room, out)
}

// section is the shape of a wall: the watts through each layer times its path
// are its conductivity times the difference of its faces.
type section struct {
	paths []float64 // 1/m
	outer float64   // m²
}

// solve finds the watts at which what comes through the layers leaves the
// outside. More watts make the outside colder and carry more away, so halving
// finds the only answer.
func (s section) solve(layers []Layer, hot, room float64, out Outside) (Wall, error) {
	if len(layers) == 0 || !sound(hot, room) || hot <= room || room <= absoluteZero || !out.usable() {
		return Wall{}, ErrWall
	}
	for _, l := range layers {
		if !(l.Thickness > 0) || !sound(l.Thickness) || !l.Brick.usable() {
			return Wall{}, ErrWall
		}
	}
	low, high := 0.0, math.Inf(1) // no layer lets more through than with its far face at the room's
	for i, l := range layers {
		high = min(high, l.Brick.passes(hot, room)/s.paths[i])
	}
	for range 60 {
		middle := (low + high) / 2
		outside := s.faces(layers, hot, middle)[len(layers)]
		if outside > room && s.outer*out.carries(outside, room) > middle {
			low = middle
		} else {
			high = middle
		}
	}
	watts := (low + high) / 2
	w := Wall{Watts: watts, Faces: s.faces(layers, hot, watts)}
	w.Surface = out.coefficient(w.Faces[len(layers)], room)
	return w, nil
}

// faces are the temperatures from the hot face outwards when so many watts pass.
func (s section) faces(layers []Layer, hot, watts float64) []float64 {
	faces := []float64{hot}
	for i, l := range layers {
		hot = l.Brick.cooler(hot, watts*s.paths[i])
		faces = append(faces, hot)
	}
	return faces
}
