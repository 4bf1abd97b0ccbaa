#include "eaveshed/core/xml_text.hpp"

namespace eaveshed {

std::string xml_text(std::string_view text) {
    constexpr unsigned char kFirstPrinted = 0x20;
    std::string out;
    out.reserve(text.size() + text.size() / 8);
    for (const char letter : text) {
        switch (letter) {
            case '&': out += "&amp;"; break;
            case '<': out += "&lt;"; break;
            case '>': out += "&gt;"; break;
            case '"': out += "&quot;"; break;
            case '\'': out += "&apos;"; break;
            case '\t':
            case '\n':
            case '\r': out += letter; break;
            default:
                if (static_cast<unsigned char>(letter) < kFirstPrinted) {
                    out += "\xEF\xBF\xBD";
                } else {
                    out += letter;
                }
        }
    }
    return out;
}

}  // namespace eaveshed
