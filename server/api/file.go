package api

import (
	"net/http"

	"github.com/danielgtaylor/huma/v2"
)

// Kind is a kind of file by its media type.
type Kind string

// The kinds of files that are handed out.
const (
	Zip     Kind = "application/zip"
	SQLite  Kind = "application/vnd.sqlite3"
	CSV     Kind = "text/csv"
	JPEG    Kind = "image/jpeg"
	Metrics Kind = "text/plain"
)

// openMetrics is how metrics are told to who asks for it.
const openMetrics = "application/openmetrics-text"

// Answers describes an answer that is a file. What is not text has no schema, as
// OpenAPI 3.1 has it (4.8.14.4).
func (k Kind) Answers(op *huma.Operation) {
	content := map[string]*huma.MediaType{string(k): {}}
	if k == Metrics {
		content[openMetrics] = &huma.MediaType{}
	}
	op.Responses = map[string]*huma.Response{"200": {Description: http.StatusText(http.StatusOK), Content: content}}
}
