package main

import (
	"bytes"
	"errors"
	"io"
	"mime/multipart"
	"net/http"
	"net/url"
	"strings"
	"time"

	"drosswise/server/photo"
)

// Limits of a form with a photo. A file that is a little too large still comes
// in, to be refused in a sentence.
const (
	maxPhotoBody = photo.MaxBytes + 2<<20
	maxPhotoText = 64 << 10 // of all other fields
	photosAtOnce = 2        // that are taken in
)

// maxOldBody is how large a form with a file of old notes may be. One that is a
// little too large still comes in, to be refused in a sentence.
const maxOldBody = 5 << 20

// maxLogBody is the same for a form with a logger's file.
const maxLogBody = 9 << 20

// maxLogJSON is the same for a program, whose JSON writes quotes and the ends of
// lines with two letters.
const maxLogJSON = 12 << 20

// maxReadings is room for as many records as one batch may have, each with all
// that a logger usually writes in it.
const maxReadings = 2 << 20

// takesOldNotes reports whether a request is one that a file of old notes comes
// with.
func takesOldNotes(r *http.Request) bool {
	return r.Method == http.MethodPost && (r.URL.Path == oldNotesPath || r.URL.Path == importsPath)
}

// takesLogFile reports whether a request is one that a logger's file comes with.
func takesLogFile(r *http.Request) bool {
	return r.Method == http.MethodPost && strings.HasPrefix(r.URL.Path, "/melts/") && strings.HasSuffix(r.URL.Path, "/readings")
}

// takesLogText reports whether a request is one that a program sends a logger's
// file with.
func takesLogText(r *http.Request) bool {
	return r.Method == http.MethodPost && strings.HasPrefix(r.URL.Path, "/api/v1/melts/") && strings.HasSuffix(r.URL.Path, "/log-files")
}

// takesReadings reports whether a request is one that a logger sends its
// readings with.
func takesReadings(r *http.Request) bool {
	return r.Method == http.MethodPost && strings.HasPrefix(r.URL.Path, "/api/v1/melts/") && strings.HasSuffix(r.URL.Path, "/readings")
}

// takesPhoto reports whether a request is one that a photo comes with.
func takesPhoto(r *http.Request) bool {
	return r.Method == http.MethodPost && strings.HasSuffix(r.URL.Path, "/photos")
}

// sent is a file that came with a form.
type sent struct {
	name string
	body []byte
}

// readFile takes a form with a file out of a request, the file whole, from the
// field that it is sent in. Only so many come in at once; the others wait, and what they send waits in the net.
func (a *app) readFile(w http.ResponseWriter, r *http.Request, v visit, field string) (*form, sent, error) {
	if err := http.NewResponseController(w).SetReadDeadline(time.Now().Add(maxTime)); err != nil && !errors.Is(err, http.ErrNotSupported) {
		return nil, sent{}, err
	}
	parts, err := r.MultipartReader()
	if err != nil {
		return nil, sent{}, errBadForm
	}
	select {
	case a.uploads <- struct{}{}:
		defer func() { <-a.uploads }()
	case <-r.Context().Done():
		return nil, sent{}, r.Context().Err()
	}
	values, file, err := readParts(parts, field, r.ContentLength)
	f := newForm(values, v.style)
	var large *http.MaxBytesError
	switch {
	case errors.As(err, &large):
		return nil, sent{}, errTooLarge
	case err != nil:
		return nil, sent{}, errBadForm
	}
	return f, file, nil
}

// readParts reads the fields of a form and the file in one of them.
func readParts(parts *multipart.Reader, field string, length int64) (url.Values, sent, error) {
	values, left := url.Values{}, int64(maxPhotoText)
	var file bytes.Buffer
	var name string
	for {
		part, err := parts.NextPart()
		if errors.Is(err, io.EOF) {
			return values, sent{name, file.Bytes()}, nil
		}
		if err != nil {
			return nil, sent{}, err
		}
		if part.FormName() == field {
			name = part.FileName()
			file.Reset()
			file.Grow(int(min(max(length, 0), maxPhotoBody)) + bytes.MinRead)
			if _, err := file.ReadFrom(part); err != nil {
				return nil, sent{}, err
			}
			continue
		}
		text, err := io.ReadAll(io.LimitReader(part, left+1))
		if left -= int64(len(text)); err != nil || left < 0 {
			return nil, sent{}, errors.Join(err, errBadForm)
		}
		values.Add(part.FormName(), string(text))
	}
}
