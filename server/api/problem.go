package api

import (
	"cmp"
	"net/http"
	"slices"
	"strings"

	"github.com/danielgtaylor/huma/v2"
)

// Problem says what went wrong (RFC 9457).
type Problem struct {
	Type     string  `json:"type" doc:"about:blank: the title says it."`
	Title    string  `json:"title"`
	Status   int     `json:"status"`
	Detail   string  `json:"detail" doc:"What is wrong and what to do."`
	Instance string  `json:"instance,omitempty" doc:"Number of the fault in the shop's log, when it is the shop's."`
	Errors   []Wrong `json:"errors,omitempty" nullable:"false" doc:"What is wrong, one by one."`
}

// Wrong is one thing that is wrong with what was sent.
type Wrong struct {
	Location string `json:"location" doc:"Where, such as body.temp_c."`
	Message  string `json:"message" doc:"What is wrong and what to do."`
	Doubted  bool   `json:"doubted,omitempty" doc:"It may be right all the same. If it is, send it again with sure."`
}

// Error names the problem.
func (p *Problem) Error() string { return p.Title + ": " + p.Detail }

// GetStatus is the status of its answer.
func (p *Problem) GetStatus() int { return p.Status }

// Sort puts what is wrong in the order of where.
func (p *Problem) Sort() {
	slices.SortFunc(p.Errors, func(x, y Wrong) int {
		return cmp.Or(strings.Compare(x.Location, y.Location), strings.Compare(x.Message, y.Message))
	})
}

// ContentType is that of problem details.
func (p *Problem) ContentType(string) string { return "application/problem+json" }

// refuse makes a problem of what does not fit the document at all.
func refuse(status int, msg string, errs ...error) huma.StatusError {
	p := &Problem{Type: "about:blank", Title: "That does not fit", Status: status, Detail: "Send it as /api/v1/openapi.json says. " + upper(msg) + "."}
	switch status {
	case http.StatusUnsupportedMediaType:
		p.Title = "That kind of content is not taken here"
	case http.StatusRequestEntityTooLarge:
		p.Title, p.Detail = "That is too much at once", "It was not saved. Send less at a time."
	case http.StatusRequestTimeout:
		p.Title, p.Detail = "That took too long to come in", "It was not saved. Send it again."
	}
	for _, err := range errs {
		if d, ok := err.(huma.ErrorDetailer); ok {
			at := d.ErrorDetail()
			p.Errors = append(p.Errors, Wrong{Location: at.Location, Message: upper(at.Message) + "."})
		} else if err != nil {
			p.Errors = append(p.Errors, Wrong{Message: upper(err.Error()) + "."})
		}
	}
	return p
}

// upper begins a sentence.
func upper(s string) string {
	if s == "" || s[0] < 'a' || s[0] > 'z' {
		return s
	}
	return string(s[0]-'a'+'A') + s[1:]
}
