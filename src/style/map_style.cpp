#include "eaveshed/style/map_style.hpp"

#include "eaveshed/core/error.hpp"

namespace eaveshed {

std::string_view mark_name(Mark mark) {
    switch (mark) {
        case Mark::circle: return "circle";
        case Mark::square: return "square";
        case Mark::triangle: return "triangle";
        case Mark::star: return "star";
        case Mark::cross: return "cross";
    }
    internal_error("a mark that does not exist");
}

}  // namespace eaveshed
