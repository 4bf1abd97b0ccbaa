// Records of the plan, as anything on the disk may have changed them. What is accepted packs again into what unpacks
// the same, to the byte.
#include <vector>

#include "eaveshed/store/plan_records.hpp"
#include "fuzz/target.hpp"

namespace eaveshed::fuzz {

namespace {

template <typename Unpack>
void pack_again(Bytes bytes, const Unpack& unpack) {
    std::vector<unsigned char> once;
    if (!accepts([&] { once = packed(unpack(bytes)); })) {
        return;
    }
    require(once.size() <= bytes.size(), "a record that grew");
    require(packed(unpack(Bytes(once))) == once, "a record that packs as another");
}

}  // namespace

void fuzz_records(Bytes bytes) {
    switch (take_byte(bytes) % 3) {
        case 0: pack_again(bytes, unpacked_footprint); return;
        case 1: pack_again(bytes, unpacked_parcel); return;
        default: pack_again(bytes, unpacked_obstacle); return;
    }
}

}  // namespace eaveshed::fuzz
