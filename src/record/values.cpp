#include "eaveshed/record/values.hpp"

namespace eaveshed {

void append_us_values(const std::vector<Column>& columns, std::vector<Value>& values) {
    for (std::size_t i = 0; i < columns.size(); ++i) {
        if (columns[i].us) {
            const double* const si = std::get_if<double>(&values[i]);
            values.push_back(si != nullptr ? Value(*si * columns[i].us->factor) : Value());
        }
    }
}

}  // namespace eaveshed
