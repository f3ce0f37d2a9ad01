package views

// Gallery lists the scenes of the gallery.
type Gallery struct{ Scenes []Link }
