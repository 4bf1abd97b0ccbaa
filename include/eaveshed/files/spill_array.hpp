// Arrays that may outgrow memory. Small ones stand in memory; from kInMemoryBytes on the bytes lie in a file without a
// name in a folder of the run, mapped into memory: the system keeps of it what there is room for, and writes out the
// rest. What is read in order costs little so, whatever the size.
#pragma once

#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <limits>
#include <stdexcept>
#include <type_traits>
#include <utility>

namespace eaveshed {

// The bytes of one array. Lack of room on the disk is a passing error.
class SpillBytes {
public:
    static constexpr std::size_t kInMemoryBytes = std::size_t{4} << 20U;

    // Without a folder all stays in memory.
    explicit SpillBytes(std::filesystem::path folder) : m_folder(std::move(folder)) {}
    SpillBytes() = default;
    ~SpillBytes();
    SpillBytes(SpillBytes&& other) noexcept { swap(other); }
    SpillBytes& operator=(SpillBytes&& other) noexcept {
        swap(other);
        return *this;
    }
    SpillBytes(const SpillBytes&) = delete;
    SpillBytes& operator=(const SpillBytes&) = delete;

    [[nodiscard]] void* data() const { return m_data; }
    [[nodiscard]] std::size_t capacity() const { return m_capacity; }
    // At least so many bytes; those that there are stay. New ones hold anything.
    void grow(std::size_t capacity);
    // Gives the memory that mapped pages take back to the system. Their content stays, and comes again when it is asked
    // for. Nothing for an array that stands in memory.
    void rest() const;

private:
    void swap(SpillBytes& other) noexcept;
    void map(std::size_t capacity);

    std::filesystem::path m_folder;
    void* m_data = nullptr;
    std::size_t m_capacity = 0;
    int m_descriptor = -1;  // of the file; none while all stands in memory
};

// Plain values in such bytes, used as a std::vector is. Iterators and references end with growth. One thread at a time
// unless all only read.
template <typename T>
class SpillArray {
    static_assert(std::is_trivially_copyable_v<T> && std::is_trivially_destructible_v<T>);

public:
    using value_type = T;

    SpillArray() = default;
    explicit SpillArray(const std::filesystem::path& folder) : m_bytes(folder) {}
    SpillArray(SpillArray&& other) noexcept
        : m_bytes(std::move(other.m_bytes)), m_size(std::exchange(other.m_size, 0)) {}
    SpillArray& operator=(SpillArray&& other) noexcept {
        m_bytes = std::move(other.m_bytes);
        std::swap(m_size, other.m_size);
        return *this;
    }

    [[nodiscard]] std::size_t size() const { return m_size; }
    [[nodiscard]] bool empty() const { return m_size == 0; }
    [[nodiscard]] T* data() { return static_cast<T*>(m_bytes.data()); }
    [[nodiscard]] const T* data() const { return static_cast<const T*>(m_bytes.data()); }
    [[nodiscard]] T* begin() { return data(); }
    [[nodiscard]] T* end() { return data() + m_size; }
    [[nodiscard]] const T* begin() const { return data(); }
    [[nodiscard]] const T* end() const { return data() + m_size; }
    [[nodiscard]] T& operator[](std::size_t i) { return data()[i]; }
    [[nodiscard]] const T& operator[](std::size_t i) const { return data()[i]; }
    [[nodiscard]] const T& at(std::size_t i) const {
        if (i >= m_size) {
            throw std::out_of_range("a position beyond an array");
        }
        return data()[i];
    }
    [[nodiscard]] T& at(std::size_t i) { return const_cast<T&>(std::as_const(*this).at(i)); }
    [[nodiscard]] T& front() { return data()[0]; }
    [[nodiscard]] T& back() { return data()[m_size - 1]; }
    [[nodiscard]] const T& back() const { return data()[m_size - 1]; }

    void reserve(std::size_t count) {
        if (count > m_bytes.capacity() / sizeof(T)) {
            m_bytes.grow(count * sizeof(T));
        }
    }
    void push_back(const T& value) {
        const T copy = value;  // it may stand in the bytes that move
        make_room(m_size + 1);
        data()[m_size++] = copy;
    }
    T& emplace_back(const T& value = T{}) {
        push_back(value);
        return back();
    }
    void resize(std::size_t count, const T& fill = T{}) {
        const T copy = fill;
        if (count > m_size) {
            make_room(count);
            for (std::size_t i = m_size; i < count; ++i) {
                data()[i] = copy;
            }
        }
        m_size = count;
    }
    template <typename Iterator>
    void append(Iterator first, Iterator last) {
        make_room(m_size + static_cast<std::size_t>(last - first));
        for (; first != last; ++first) {
            data()[m_size++] = *first;
        }
    }
    void rest() const { m_bytes.rest(); }

private:
    void make_room(std::size_t count) {
        if (count > m_bytes.capacity() / sizeof(T)) {
            const std::size_t half_more = m_size + m_size / 2;
            reserve(count > half_more ? count : half_more);
        }
    }

    SpillBytes m_bytes;
    std::size_t m_size = 0;
};

}  // namespace eaveshed
