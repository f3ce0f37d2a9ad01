package table

import (
	"bytes"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
)

// Encoding is how the letters of a file are written as bytes.
type Encoding string

// The encodings that are known.
const (
	UTF8        Encoding = "UTF-8"
	UTF16       Encoding = "UTF-16"
	Windows1252 Encoding = "Windows-1252"
)

// decode turns the bytes into UTF-8 without byte order mark. What is not
// UTF-8 and has no mark is taken for Windows-1252, in which almost every byte
// is a letter: the spreadsheet programs of western Europe and America still
// write it.
func decode(body []byte) ([]byte, Guess[Encoding], error) {
	var g Guess[Encoding]
	switch {
	case bytes.HasPrefix(body, []byte("\xef\xbb\xbf")):
		body = body[3:]
		g = Guess[Encoding]{UTF8, true, "The file starts with the mark of UTF-8."}
	case bytes.HasPrefix(body, []byte("\xff\xfe")), bytes.HasPrefix(body, []byte("\xfe\xff")):
		text, err := unicode.UTF16(unicode.LittleEndian, unicode.ExpectBOM).NewDecoder().Bytes(body)
		if err != nil {
			return nil, g, refuse(0, "The file starts like UTF-16 and does not go on like it. Open it in a spreadsheet program, save it as CSV in UTF-8 and send that.")
		}
		body = text
		g = Guess[Encoding]{UTF16, true, "The file starts with the mark of UTF-16."}
	case utf8.Valid(body):
		g = Guess[Encoding]{UTF8, true, "All its letters are UTF-8."}
	default:
		text, err := charmap.Windows1252.NewDecoder().Bytes(body)
		if err != nil {
			return nil, g, err
		}
		body = text
		g = Guess[Encoding]{Windows1252, false, "Some of its letters are not UTF-8, and older spreadsheet programs write Windows-1252. See whether the accents came out right."}
	}
	if !utf8.Valid(body) {
		body = bytes.ToValidUTF8(body, []byte("\uFFFD"))
	}
	if bytes.HasPrefix(body, []byte("PK\x03\x04")) || bytes.HasPrefix(body, []byte("PK\x05\x06")) {
		return nil, g, refuse(0, "This is a workbook of a spreadsheet program or another packed file. Open it there, save the sheet as CSV and send that.")
	}
	if bytes.IndexByte(body, 0) >= 0 {
		return nil, g, refuse(0, "This is not a text file. Open it in a spreadsheet program, save the sheet as CSV and send that.")
	}
	return body, g, nil
}
