package photo

import "encoding/binary"

// orientation reads from an APP1 segment how the camera was held: 1 to 8 as in
// tag 274 of TIFF 6.0 and Exif 2.32 (CIPA DC-008, 4.6.4), 1 for whatever cannot
// be read.
func orientation(app1 []byte) int {
	const upright, tag, short = 1, 274, 3
	if len(app1) < 14 || string(app1[:6]) != "Exif\x00\x00" {
		return upright
	}
	tiff := app1[6:]
	var order binary.ByteOrder
	switch string(tiff[:4]) {
	case "II*\x00":
		order = binary.LittleEndian
	case "MM\x00*":
		order = binary.BigEndian
	default:
		return upright
	}
	at := int64(order.Uint32(tiff[4:]))
	if at+2 > int64(len(tiff)) {
		return upright
	}
	entries := tiff[at+2:]
	for n := int(order.Uint16(tiff[at:])); n > 0 && len(entries) >= 12; n, entries = n-1, entries[12:] {
		if order.Uint16(entries) != tag || order.Uint16(entries[2:]) != short {
			continue
		}
		if held := int(order.Uint16(entries[8:])); held >= 1 && held <= 8 {
			return held
		}
	}
	return upright
}
