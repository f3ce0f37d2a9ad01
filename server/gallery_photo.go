package main

import (
	"image"
	"image/color"
	"image/jpeg"
	"net/http"

	"github.com/a-h/templ"

	"drosswise/views"
)

// photoScenes are the photos of a line, and the pages that show them.
func photoScenes() []scene {
	none := galleryPhotoPage()
	reader := none
	reader.May = false
	some := galleryPhotoPage()
	some.Photos = galleryPhotos("the skim of A26-041", 3)
	some.Photos[1].Struck = &views.Struck{Reason: "blurred", Who: "Workshop", When: "21 Nov 2026 14:50"}
	some.Photos[1].Note = long
	refused := some
	refused.Fault = "This phone saves HEIC: set its camera to the most compatible format, or send it from the browser, which turns it into JPEG."
	refused.Note = "wet, with white lumps"
	running := galleryMelt(runningLines())
	running.Photos = map[int64][]views.Photo{3: galleryPhotos("the charge of Rims of A26-041", 7), 4: galleryPhotos("the charge of Crank arms of A26-041", 1)}
	crucible := galleryItem(2, galleryInspections())
	crucible.Photos = map[int64][]views.Photo{1: galleryPhotos("C1, inspected", 2), 2: galleryPhotos("C1, inspected", 1)}
	crucible.Life = galleryPhotos("C1, inspected", 5)
	for i := range crucible.Life {
		crucible.Life[i].Heats = new(7 * i)
	}
	crucible.Life[3].Melt, crucible.Life[3].Of, crucible.OlderLife = "A26-041", "the skim of A26-041", 12
	source := gallerySource(1, galleryLots())
	source.Photos = map[int64][]views.Photo{3: galleryPhotos("a delivery of Rims", 2)}
	line := views.LinePage{Heading: galleryHeading(), State: running.Sheet.State, Line: runningLines()[3], Names: galleryNames(), Key: "gallery-strike", Photos: galleryPhotos("the charge of Crank arms of A26-041", 2)}
	return []scene{
		{"photos/none", "A line without a photo", none.Page},
		{"photos/reader", "A line without a photo, to a reader", reader.Page},
		{"photos/some", "A line with photos, one struck", some.Page},
		{"photos/refused", "A photo that was refused", refused.Page},
		{"photos/melt", "A running melt with photos", func(f views.Frame) templ.Component { return running.Page(f) }},
		{"photos/line", "A line's page with photos", line.Page},
		{"kit/photos", "A crucible over its life", crucible.Page},
		{"source/photos", "Scrap with photos of a delivery", source.Page},
	}
}

func galleryPhotoPage() views.PhotoPage {
	return views.PhotoPage{
		Back: views.Link{Text: "Back to A26-041", Href: "/melt/running"}, Over: "Melt A26-041", Title: "Skimmed grey dry 112 g",
		Action: "/photos/none", Key: "gallery-photo", May: true, NewKeys: galleryKey,
	}
}

// galleryPhotos are photos lying and standing by turns, the last very long.
func galleryPhotos(of string, n int) []views.Photo {
	var all []views.Photo
	for i := range n {
		p := views.Photo{ID: int64(i + 1), Of: of, At: galleryWhen(7 * (n - i)), By: "Workshop", Note: "from above", Width: 1600, Height: 1200, ThumbWidth: 320, ThumbHeight: 240}
		switch {
		case i == 6:
			p.Width, p.Height, p.ThumbWidth, p.ThumbHeight = 1600, 20, 320, 4
		case i%2 == 1:
			p.Width, p.Height, p.ThumbWidth, p.ThumbHeight = 1200, 1600, 240, 320
		}
		all = append(all, p)
	}
	return all
}

// galleryPicture draws the photo of an address: bright metal in a dark pot.
func galleryPicture(w http.ResponseWriter, r *http.Request) {
	photos := galleryPhotos("", 7)
	n := pathID(r.PathValue("id"))
	if n < 1 || n > int64(len(photos)) {
		http.NotFound(w, r)
		return
	}
	p := photos[n-1]
	img := image.NewRGBA(image.Rect(0, 0, p.ThumbWidth, p.ThumbHeight))
	x0, y0 := p.ThumbWidth/2, p.ThumbHeight/2
	for y := range p.ThumbHeight {
		for x := range p.ThumbWidth {
			c := color.RGBA{74, 68, 62, 255}
			if far := (x-x0)*(x-x0) + (y-y0)*(y-y0); far < x0*y0/2 {
				c = color.RGBA{uint8(170 + x%32), uint8(172 + y%32), 190, 255}
			}
			img.SetRGBA(x, y, c)
		}
	}
	w.Header().Set("Content-Type", "image/jpeg")
	if err := jpeg.Encode(w, img, nil); err != nil {
		http.Error(w, err.Error(), http.StatusInternalServerError)
	}
}
