// The last door before a terminal or a log: whatever names, fields and files say, no sequence that moves the cursor,
// rewrites a line or turns the direction of writing comes out. Everything that the program prints goes through here.
#pragma once

#include <fmt/format.h>

#include <cstddef>
#include <ostream>
#include <streambuf>
#include <string>
#include <string_view>
#include <utility>

namespace eaveshed {

// Valid UTF-8 in which control characters (but line breaks and tabulators) and marks of direction stand as \u and four
// digits, which JSON reads as the same text.
[[nodiscard]] std::string without_controls(std::string_view text);

// A line or more on standard error.
void tell_text(std::string_view text);
template <typename... Args>
void tell(fmt::format_string<Args...> format, Args&&... args) {
    tell_text(fmt::format(format, std::forward<Args>(args)...));
}

// Behind a stream of one's own: hands on to another what it is given without_controls(), at the latest when it is
// flushed or ends.
class SafeBuffer final : public std::streambuf {
public:
    explicit SafeBuffer(std::ostream& to) : m_to(to) {}
    ~SafeBuffer() override;
    SafeBuffer(const SafeBuffer&) = delete;
    SafeBuffer& operator=(const SafeBuffer&) = delete;

private:
    int_type overflow(int_type letter) override;
    std::streamsize xsputn(const char* text, std::streamsize size) override;
    int sync() override;
    void hand_on(std::size_t bytes);

    std::ostream& m_to;
    std::string m_waiting;  // the line that is not ended
};

}  // namespace eaveshed
