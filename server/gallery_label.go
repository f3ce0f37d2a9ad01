package main

import (
	"net/url"

	"drosswise/foundry/quantity"
	"drosswise/server/label"
	"drosswise/views"
)

// labelScenes are labels to print: none, one, a sheet, and what is refused.
func labelScenes() []scene {
	typed := func(stock string, faults map[string]string) views.Labels {
		p := views.Labels{Stock: stock}
		p.Values = url.Values{"stock": {stock}, "start": {"1"}, "copies": {"1"}, "at": {"http://192.168.1.20:8372"}}
		p.Faults = faults
		for _, s := range label.Stocks {
			p.Stocks = append(p.Stocks, views.Option{Value: s.Name, Label: s.Title, Selected: s.Name == stock})
		}
		p.Groups = []views.LabelGroup{{Title: "Crucibles and element sets", Options: []views.Option{{Value: "kit-2", Label: "Crucible C3", Selected: true}, {Value: "kit-6", Label: "Crucible " + long}}}}
		return p
	}
	empty := typed("a4-3x8", nil)
	empty.Groups = nil
	one := typed("one", nil)
	one.Sheets = [][]*views.Label{galleryLabels()[:1]}
	one.Near = true
	many := typed("letter-3x10", nil)
	many.Sheets = [][]*views.Label{append([]*views.Label{nil, nil, nil, nil}, galleryLabels()...)}
	many.Away = []string{"A26-041 is still running. Close it, then its ingots can have labels."}
	refused := typed("a4-3x8", map[string]string{"start": "This paper has 24 labels. Type which is the first free one.", "at": "That is no address. Type it as phones open it, such as http://192.168.1.20:8372."})
	return []scene{
		{"labels/empty", "Labels, nothing to label", empty.Page},
		{"labels/one", "Labels, one", one.Page},
		{"labels/many", "Labels, a sheet of which some were used", many.Page},
		{"labels/refused", "Labels, refused", refused.Page},
	}
}

func galleryLabels() []*views.Label {
	n, s := galleryNames(), quantity.Style{}
	closed := galleryMelt(closedLines())
	ingots := views.MeltLabel(closed.Heading, closed.Lines, closed.Sheet, n, s)
	for id, it := range n.Kit {
		it.Created = galleryWhen(1)
		n.Kit[id] = it
	}
	for id, p := range n.Sources {
		p.Created = galleryWhen(1)
		n.Sources[id] = p
	}
	all := []views.Label{ingots, views.KitLabel(n.Kit[2], s), views.KitLabel(n.Kit[3], s), views.KitLabel(n.Kit[6], s)}
	for id := int64(1); id <= 4; id++ {
		all = append(all, views.SourceLabel(n.Sources[id], s))
	}
	all = append(all, views.LotLabel(galleryLots()[0], n.Sources[1], s))
	shown := make([]*views.Label, len(all))
	for i := range all {
		l := &all[i]
		l.Address = "http://192.168.1.20:8372" + l.Path
		var err error
		if l.Code, l.Side, err = label.Code(l.Address); err != nil {
			panic("gallery: " + err.Error())
		}
		shown[i] = l
	}
	return shown
}
