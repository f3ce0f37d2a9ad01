package quantity

import (
	"strconv"
	"strings"
	"unicode"
)

// longest is how many runes of what was typed a refusal repeats.
const longest = 20

// Refusal says why a typed text was not taken. Sentence is for the person who
// typed it: what is wrong and what to do. Text is what was typed, shortened
// and without control characters, so that both may be shown and logged.
type Refusal struct {
	Text     string
	Sentence string
}

// Error names the text that was refused; people are shown Sentence instead.
func (r *Refusal) Error() string {
	return "refused input " + strconv.Quote(r.Text)
}

// refuse builds a refusal; in the sentence, {} stands for the typed text.
func refuse(text, sentence string) *Refusal {
	shown := shorten(text)
	return &Refusal{Text: shown, Sentence: strings.Replace(sentence, "{}", "“"+shown+"”", 1)}
}

// shorten drops what cannot be seen (control, format and private characters,
// among them those that turn the writing direction round) and cuts the rest.
func shorten(text string) string {
	kept := make([]rune, 0, longest+1)
	for _, r := range text {
		switch {
		case unicode.IsSpace(r):
			r = ' '
		case !unicode.IsPrint(r):
			continue
		}
		if kept = append(kept, r); len(kept) > longest {
			break
		}
	}
	if len(kept) > longest {
		kept = append(kept[:longest-1], '…')
	}
	return strings.TrimSpace(string(kept))
}
