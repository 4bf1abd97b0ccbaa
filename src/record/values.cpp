#include "eaveshed/record/values.hpp"

namespace eaveshed {

namespace {

struct Appender {
    std::vector<Value>& values;

    void operator()(const Field&, const std::string& text) const { values.emplace_back(text); }
    void operator()(const Field&, bool value) const { values.emplace_back(std::int64_t{value ? 1 : 0}); }
    void operator()(const Field&, Status status) const { values.emplace_back(std::string(to_text(status))); }
    void operator()(const Field&, ParcelStatus status) const { values.emplace_back(std::string(to_text(status))); }
    void operator()(const Field&, ContactStatus status) const { values.emplace_back(std::string(to_text(status))); }
    void operator()(const Field&, Flags flags) const { values.emplace_back(to_text(flags)); }
    template <typename T>
    void operator()(const Field&, const std::optional<T>& value) const {
        if (!value) {
            values.emplace_back(std::monostate{});
        } else if constexpr (std::is_enum_v<T>) {
            values.emplace_back(std::string(to_text(*value)));
        } else {
            values.emplace_back(*value);
        }
    }
};

template <typename Row>
void append_all(const Row& row, std::vector<Value>& values) {
    values.clear();
    visit_fields(row, Appender{values});
}

}  // namespace

void values_of(const RoofRow& row, std::vector<Value>& values) {
    append_all(row, values);
}
void values_of(const CurveRow& row, std::vector<Value>& values) {
    append_all(row, values);
}
void values_of(const PadRow& row, std::vector<Value>& values) {
    append_all(row, values);
}
void values_of(const ParcelRow& row, std::vector<Value>& values) {
    append_all(row, values);
}
void values_of(const UsePointRow& row, std::vector<Value>& values) {
    append_all(row, values);
}
void values_of(const ScenarioRow& row, std::vector<Value>& values) {
    append_all(row, values);
}
void values_of(const OverrideRow& row, std::vector<Value>& values) {
    append_all(row, values);
}
void values_of(const RunRecordRow& row, std::vector<Value>& values) {
    append_all(row, values);
}

}  // namespace eaveshed
