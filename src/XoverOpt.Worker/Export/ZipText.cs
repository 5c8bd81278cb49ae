using System.IO.Compression;
using System.Text;

namespace XoverOpt.Worker.Export;

/// <summary>A ZIP archive of texts. The same texts give the same bytes: fixed times and rights, the order given.</summary>
internal static class ZipText
{
    // The earliest time the format knows.
    private static readonly DateTimeOffset Time = new(1980, 1, 1, 0, 0, 0, TimeSpan.Zero);

    // -rw-r--r-- of a plain file, where Unix looks for it.
    private const int Rights = unchecked((int)(0x81A4u << 16));

    /// <summary>Packs files.</summary>
    /// <param name="files">Paths with "/" between folders, and contents.</param>
    public static byte[] Pack(IEnumerable<(string Path, string Text)> files)
    {
        using MemoryStream bytes = new();
        using (ZipArchive zip = new(bytes, ZipArchiveMode.Create, leaveOpen: true, Encoding.UTF8))
        {
            foreach ((string path, string text) in files)
            {
                ZipArchiveEntry entry = zip.CreateEntry(path, CompressionLevel.Optimal);
                entry.LastWriteTime = Time;
                entry.ExternalAttributes = Rights;
                using Stream stream = entry.Open();
                stream.Write(Encoding.UTF8.GetBytes(text));
            }
        }

        return bytes.ToArray();
    }
}
