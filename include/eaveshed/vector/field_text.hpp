// Field values as text, the same on every machine and in every locale.
#pragma once

#include <cstdint>
#include <string>

class OGRFeature;

namespace eaveshed {

// The shortest decimal text that reads back as the same value: "2", "0.1", "200000"; exponents only for magnitudes from
// 1e17 up and below 1e-5. Not a number: empty.
[[nodiscard]] std::string real_text(double value);

// The value of a field that is set: numbers as real_text, dates 2026-11-25, times 10:13:00, both with T between them
// and the offset from UTC where it is known (Z or +02:00), seconds with thousandths where they are not whole, lists as
// JSON, bytes as hexadecimal digits. Text as it is, up to a NUL. False for a null value (not a number counts as null).
bool field_text(const OGRFeature& feature, int field, std::string& text);

}  // namespace eaveshed
