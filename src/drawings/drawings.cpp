#include "drawings/drawings.h"

#include <deque>
#include <future>
#include <optional>

#include "base/files.h"
#include "drawings/overview.h"
#include "drawings/page_files.h"
#include "drawings/sheets.h"

namespace roomloom {
namespace {

constexpr double kPixelsPerMm = 4;
constexpr std::size_t kMostPending = 4;

/// Writes files, the pictures beside other work, since packing them is what takes longest.
class Writer {
 public:
  explicit Writer(const std::filesystem::path& folder) : folder_(folder) {}
  void write(const std::string& name, std::string bytes) {
    later(name,
          [file = folder_ / name, bytes = std::move(bytes)] { return write_file(file, bytes); });
  }
  void write_png(const std::string& name, Image image, int dots_per_m) {
    later(name, [file = folder_ / name, image = std::move(image), dots_per_m] {
      return write_file(file, png_of(image, 1, dots_per_m));
    });
  }
  /// Waits for what is still to be written. @return the names, or the first error in their order
  Result<std::vector<std::string>> finish() {
    while (!pending_.empty()) settle();
    if (error_) return *error_;
    return std::move(names_);
  }

 private:
  template <typename Work>
  void later(const std::string& name, Work work) {
    if (pending_.size() >= kMostPending) settle();
    names_.push_back(name);
    pending_.push_back(std::async(std::launch::async, std::move(work)));
  }
  void settle() {
    const Status written = pending_.front().get();
    pending_.pop_front();
    if (!written && !error_) error_ = written.error();
  }
  std::filesystem::path folder_;
  std::deque<std::future<Status>> pending_;
  std::vector<std::string> names_;
  std::optional<Error> error_;
};

}  // namespace

Result<Drawings> write_drawings(const DrawingRequest& request) {
  auto room = std::async(std::launch::async, [&] { return draw_room(request); });
  const Lettering lettering;
  Writer out(request.folder);
  const std::vector<Page> pages = draw_sheets(request, lettering);
  auto pdf = pdf_of(pages, lettering, plain_text(request.job.name, 120), request.program);
  if (!pdf) return pdf.error();
  out.write("drawings.pdf", std::move(*pdf));
  Drawings drawn;
  for (const Page& page : pages) {
    drawn.sheets.push_back(
        {page.stem, page.title, page.scale, page.size_mm.x, page.size_mm.y, svg_of(page)});
    out.write(page.stem + ".svg", drawn.sheets.back().svg);
    auto image = image_of(page, lettering, kPixelsPerMm);
    if (!image) return image.error();
    out.write_png(page.stem + ".png", std::move(*image), static_cast<int>(kPixelsPerMm * 1000));
  }
  RoomPicture picture = room.get();
  if (const Status lettered = letter_room(picture, request, lettering); !lettered)
    return lettered.error();
  out.write_png("overview.png", std::move(picture.image), 0);
  auto files = out.finish();
  if (!files) return files.error();
  drawn.files = std::move(*files);
  return drawn;
}

}  // namespace roomloom
