package export

import (
	"bytes"
	"encoding/json"
	"errors"
	"strings"
)

// MadeBy is the value of the record's key "made_by".
const MadeBy = "reseat"

// ChecksumBlank is the value of the record's key "seal_sha256" before WithChecksum fills it in.
var ChecksumBlank = strings.Repeat("0", checksumLen)

const (
	checksumLen = 64 // hexadecimal digits of a SHA-256
	checksumKey = `"seal_sha256": "`
)

var errNoChecksum = errors.New(`the record has no key "seal_sha256" with 64 digits`)

// checksumAt returns where the digits of the checksum start. The last key of that name is
// taken; inside a JSON string a quotation mark is always escaped, so no title can
// imitate it.
func checksumAt(record []byte) (int, error) {
	i := bytes.LastIndex(record, []byte(checksumKey))
	if i < 0 {
		return 0, errNoChecksum
	}
	i += len(checksumKey)
	if len(record) < i+checksumLen+1 || record[i+checksumLen] != '"' {
		return 0, errNoChecksum
	}
	return i, nil
}

// WithChecksum returns a copy of the record with the digits of its key "seal_sha256"
// replaced by the SHA-256 of the record with those digits zero.
func WithChecksum(record []byte) ([]byte, error) {
	i, err := checksumAt(record)
	if err != nil {
		return nil, err
	}
	out := bytes.Clone(record)
	copy(out[i:], ChecksumBlank)
	copy(out[i:], digest(out))
	return out, nil
}

// IsGenuine reports whether a record was made by the tool and not changed by a single
// byte since.
func IsGenuine(data []byte) bool {
	checked, err := WithChecksum(data)
	if err != nil || !bytes.Equal(checked, data) {
		return false
	}
	var r struct {
		MadeBy string `json:"made_by"`
	}
	return json.Unmarshal(data, &r) == nil && r.MadeBy == MadeBy
}
