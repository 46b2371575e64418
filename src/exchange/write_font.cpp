#include "exchange/write_font.h"

#include <array>
#include <cstdint>
#include <string>

#include "base/utf8.h"

namespace roomloom {
namespace {

constexpr double kBase = 2;     ///< grid row of the base line; rows below are for descenders
constexpr double kCapital = 6;  ///< grid rows of a capital
constexpr double kAdvance = 6;  ///< grid columns from letter to letter
constexpr double kLinePitch = 12;

/// Strokes parted by blanks; each point is two digits, column and row.
constexpr std::array<const char*, 95> kAscii = {
    "",                                  // space
    "2825 2223",                         // !
    "1816 3836",                         // "
    "1218 3238 0444 0646",               // #
    "473818070615354443321203 2921",     // $
    "0248 0818170708 3343423233",        // %
    "4216172837360403122244",            // &
    "2826",                              // '
    "38171332",                          // (
    "18373312",                          // )
    "2327 1634 1436",                    // *
    "2327 0545",                         // +
    "2211",                              // ,
    "1535",                              // -
    "2223",                              // .
    "0248",                              // /
    "183847433212030718 0347",           // 0
    "072822 1232",                       // 1
    "07183847460242",                    // 2
    "07183847463515 354443321203",       // 3
    "32380444",                          // 4
    "480805354443321203",                // 5
    "4738180703123243443505",            // 6
    "084812",                            // 7
    "15354647381807061504031232434435",  // 8
    "0312324347381807061545",            // 9
    "2223 2526",                         // :
    "2211 2526",                         // ;
    "470543",                            // <
    "0444 0646",                         // =
    "074503",                            // >
    "07183847462524 2223",               // ?
    "34361614344347381807031232",        // @
    "022842 1434",                       // A
    "02083847463505 3544433202",         // B
    "4738180703123243",                  // C
    "02082846442202",                    // D
    "48080242 0535",                     // E
    "480802 0535",                       // F
    "47381807031232434525",              // G
    "0208 4248 0545",                    // H
    "1232 1838 2228",                    // I
    "4843321203",                        // J
    "0208 480542",                       // K
    "080242",                            // L
    "0208254842",                        // M
    "02084248",                          // N
    "183847433212030718",                // O
    "02083847463505",                    // P
    "183847433212030718 2442",           // Q
    "02083847463505 2542",               // R
    "473818070615354443321203",          // S
    "0848 2228",                         // T
    "080312324348",                      // U
    "082248",                            // V
    "0812253248",                        // W
    "0248 0842",                         // X
    "082548 2522",                       // Y
    "08480242",                          // Z
    "38181232",                          // [
    "0842",                              // backslash
    "18383212",                          // ]
    "162836",                            // ^
    "0141",                              // _
    "1827",                              // `
    "4642 46160503123243",               // a
    "0802 0516364543321203",             // b
    "4536160503123243",                  // c
    "4842 4536160503123243",             // d
    "04444536160503123243",              // e
    "38281712 0636",                     // f
    "4641301001 4536160503123243",       // g
    "0802 0516364542",                   // h
    "2522 2728",                         // i
    "25211000 2728",                     // j
    "0802 460442",                       // k
    "282332",                            // l
    "0602 05162522 25364542",            // m
    "0602 0516364542",                   // n
    "163645433212030516",                // o
    "0600 0516364543321203",             // p
    "4640 4536160503123243",             // q
    "0602 051636",                       // r
    "45361605143443321203",              // s
    "18132232 0636",                     // t
    "0603123243 4642",                   // u
    "062246",                            // v
    "0612253246",                        // w
    "0246 0642",                         // x
    "0603123243 4641301001",             // y
    "06460242",                          // z
    "38272615242332",                    // {
    "2921",                              // |
    "18272635242312",                    // }
    "05163445",                          // ~
};
constexpr const char* kBox = "0208484202";
constexpr const char* kDotlessI = "2622";

struct Sign {
  std::uint32_t code;
  const char* strokes;
};
constexpr std::array<Sign, 16> kSigns = {{
    {0xB0, "1728372617"},              // degree
    {0xB5, "0600 03123243 4642"},      // micro
    {0xB7, "2526"},                    // middle dot
    {0xB1, "2327 0545 0242"},          // plus or minus
    {0xD7, "1337 1733"},               // times
    {0xDF, "0207183847462544433222"},  // sharp s
    {0xD8, "183847433212030718 0248"},
    {0xF8, "163645433212030516 0246"},
    {0x141, "080242 0436"},
    {0x142, "282332 1436"},
    {0x2013, "0545"},
    {0x2014, "0545"},
    {0x2018, "2826"},
    {0x2019, "2826"},
    {0x2192, "0545 274523"},
    {0x2300, "183847433212030718 0248"},  // diameter
}};

/// Marks sit over a small letter; over a capital they are raised by two rows.
enum class Mark { grave, acute, hat, tilde, dots, ring, cedilla, caron, twin, dot, tail, bar };
constexpr std::array<const char*, 12> kMarks = {"1827",      "2738",       "172837", "17282738",
                                                "1718 3738", "2738291827", "222110", "182738",
                                                "1728 3748", "2728",       "423141", "1737"};

struct Accented {
  std::uint32_t code;
  char letter;
  Mark mark;
};
constexpr std::array<Accented, 51> kAccented = {{
    {0xC0, 'A', Mark::grave},   {0xC1, 'A', Mark::acute},  {0xC2, 'A', Mark::hat},
    {0xC3, 'A', Mark::tilde},   {0xC4, 'A', Mark::dots},   {0xC5, 'A', Mark::ring},
    {0xC7, 'C', Mark::cedilla}, {0xC8, 'E', Mark::grave},  {0xC9, 'E', Mark::acute},
    {0xCA, 'E', Mark::hat},     {0xCB, 'E', Mark::dots},   {0xCC, 'I', Mark::grave},
    {0xCD, 'I', Mark::acute},   {0xCE, 'I', Mark::hat},    {0xCF, 'I', Mark::dots},
    {0xD1, 'N', Mark::tilde},   {0xD2, 'O', Mark::grave},  {0xD3, 'O', Mark::acute},
    {0xD4, 'O', Mark::hat},     {0xD5, 'O', Mark::tilde},  {0xD6, 'O', Mark::dots},
    {0xD9, 'U', Mark::grave},   {0xDA, 'U', Mark::acute},  {0xDB, 'U', Mark::hat},
    {0xDC, 'U', Mark::dots},    {0xDD, 'Y', Mark::acute},  {0xFF, 'y', Mark::dots},
    {0x104, 'A', Mark::tail},   {0x105, 'a', Mark::tail},  {0x106, 'C', Mark::acute},
    {0x107, 'c', Mark::acute},  {0x10C, 'C', Mark::caron}, {0x10D, 'c', Mark::caron},
    {0x118, 'E', Mark::tail},   {0x119, 'e', Mark::tail},  {0x11A, 'E', Mark::caron},
    {0x11B, 'e', Mark::caron},  {0x143, 'N', Mark::acute}, {0x144, 'n', Mark::acute},
    {0x150, 'O', Mark::twin},   {0x151, 'o', Mark::twin},  {0x158, 'R', Mark::caron},
    {0x159, 'r', Mark::caron},  {0x15A, 'S', Mark::acute}, {0x15B, 's', Mark::acute},
    {0x160, 'S', Mark::caron},  {0x161, 's', Mark::caron}, {0x170, 'U', Mark::twin},
    {0x171, 'u', Mark::twin},   {0x17D, 'Z', Mark::caron}, {0x17E, 'z', Mark::caron},
}};

using Strokes = std::vector<std::vector<Vec2>>;

void add_strokes(Strokes& all, std::string_view drawing, const Vec2& at, double raise = 0) {
  std::vector<Vec2> stroke;
  const auto finish = [&] {
    if (stroke.size() > 1) all.push_back(stroke);
    stroke.clear();
  };
  for (std::size_t i = 0; i + 1 < drawing.size(); i += 2) {
    if (drawing[i] == ' ') {
      finish();
      ++i;
    }
    const Vec2 grid{static_cast<double>(drawing[i] - '0'),
                    static_cast<double>(drawing[i + 1] - '0') + raise};
    stroke.push_back((1 / kCapital) * Vec2{at.x + grid.x, at.y + grid.y - kBase});
  }
  finish();
}

void add_accented(Strokes& all, char letter, Mark mark, const Vec2& at) {
  const bool capital = letter >= 'A' && letter <= 'Z';
  const bool below = mark == Mark::cedilla || mark == Mark::tail;
  add_strokes(all, letter == 'i' ? kDotlessI : kAscii[static_cast<std::size_t>(letter - ' ')], at);
  add_strokes(all, kMarks[static_cast<std::size_t>(mark)], at, capital && !below ? 2 : 0);
}

void add_letter(Strokes& all, std::uint32_t code, const Vec2& at) {
  if (code >= 0x20 && code < 0x7F) return add_strokes(all, kAscii[code - 0x20], at);
  if (code == 0xA0) return;
  for (const Sign& sign : kSigns)
    if (sign.code == code) return add_strokes(all, sign.strokes, at);
  for (const Accented& accented : kAccented) {
    if (accented.code == code) return add_accented(all, accented.letter, accented.mark, at);
    // Small letters of Latin-1 lie 0x20 above their capitals.
    if (accented.code >= 0xC0 && accented.code < 0xDF && accented.code + 0x20 == code)
      return add_accented(all, static_cast<char>(accented.letter + 0x20), accented.mark, at);
  }
  add_strokes(all, kBox, at);
}

}  // namespace

std::vector<std::vector<Vec2>> text_strokes(std::string_view utf8) {
  Strokes all;
  Vec2 at;
  for (const std::uint32_t code : code_points(utf8)) {
    if (code == '\n') {
      at = {0, at.y - kLinePitch};
      continue;
    }
    add_letter(all, code, at);
    at.x += kAdvance;
  }
  return all;
}

}  // namespace roomloom
