#include "eaveshed/cli/settings_command.hpp"

#include "eaveshed/manual/print.hpp"

namespace eaveshed {

int print_settings(std::ostream& out, bool markdown) {
    if (markdown) {
        print_settings_markdown(out);
    } else {
        print_settings_text(out);
    }
    return 0;
}

}  // namespace eaveshed
