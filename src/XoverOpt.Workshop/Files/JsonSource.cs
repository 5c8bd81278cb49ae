using System.Text.Json;
using System.Text.Unicode;

namespace XoverOpt.Workshop;

/// <summary>
/// Opens JSON text for reading: UTF-8 with or without a byte order mark, comments and trailing commas accepted, at most
/// <see cref="MostBytes"/> long and <see cref="MostDepth"/> deep. Whatever is wrong becomes a fault, never an exception.
/// </summary>
public static class JsonSource
{
    /// <summary>Longest text that is read.</summary>
    public const int MostBytes = 8 * 1024 * 1024;

    /// <summary>Deepest nesting that is read.</summary>
    public const int MostDepth = 64;

    private const string Utf8Allowed = "JSON text in UTF-8";

    private static readonly JsonDocumentOptions Options = new()
    {
        AllowTrailingCommas = true,
        CommentHandling = JsonCommentHandling.Skip,
        MaxDepth = MostDepth,
    };

    /// <summary>Reads and parses a file.</summary>
    /// <param name="path">The file.</param>
    /// <param name="faults">Takes what is wrong.</param>
    /// <param name="shownAs">The name faults bear; the path itself when left out.</param>
    /// <returns>A cursor at the top of the document; null when there is a fault.</returns>
    public static JsonCursor? Open(string path, FaultList faults, string? shownAs = null) =>
        ReadBytes(path, faults, shownAs) is { } bytes ? Parse(shownAs ?? path, bytes, faults) : null;

    /// <summary>Reads a file of at most <see cref="MostBytes"/>.</summary>
    /// <returns>The bytes; null when there is a fault.</returns>
    public static byte[]? ReadBytes(string path, FaultList faults, string? shownAs = null)
    {
        try
        {
            using FileStream stream = new(path, FileMode.Open, FileAccess.Read, FileShare.Read);
            if (stream.CanSeek && stream.Length > MostBytes)
            {
                faults.Add(TooLong(shownAs ?? path, stream.Length));
                return null;
            }

            // Counted while reading: what cannot be sought, such as a pipe, has no length to ask for.
            using MemoryStream kept = new();
            byte[] part = new byte[64 * 1024];
            for (int count = stream.Read(part); count > 0; count = stream.Read(part))
            {
                kept.Write(part, 0, count);
                if (kept.Length > MostBytes)
                {
                    faults.Add(TooLong(shownAs ?? path, kept.Length));
                    return null;
                }
            }

            return kept.ToArray();
        }
        catch (Exception e) when (e is FileNotFoundException or DirectoryNotFoundException)
        {
            faults.Add(new Fault(shownAs ?? path, "", "no such file", "a file that exists", "Check the name and the folder it is looked for in."));
        }
        catch (UnauthorizedAccessException)
        {
            string what = Directory.Exists(path) ? "a folder" : "a file that may not be read";
            faults.Add(new Fault(shownAs ?? path, "", what, "a file that can be read"));
        }
        catch (Exception e) when (e is IOException or ArgumentException or NotSupportedException)
        {
            faults.Add(new Fault(shownAs ?? path, "", $"a file that cannot be read ({e.Message})", "a file that can be read"));
        }

        return null;
    }

    /// <summary>Parses JSON text.</summary>
    /// <param name="file">The name faults bear.</param>
    /// <param name="bytes">The text.</param>
    /// <param name="faults">Takes what is wrong.</param>
    /// <returns>A cursor at the top of the document; null when there is a fault.</returns>
    public static JsonCursor? Parse(string file, ReadOnlyMemory<byte> bytes, FaultList faults)
    {
        ReadOnlySpan<byte> span = bytes.Span;
        if (span.Length > MostBytes)
        {
            faults.Add(TooLong(file, span.Length));
            return null;
        }

        if (span is [0xFF, 0xFE, ..] or [0xFE, 0xFF, ..] or [0, not 0, ..] or [not 0, 0, ..])
        {
            faults.Add(new Fault(file, "", "text in UTF-16", Utf8Allowed, "Save the file again with the encoding UTF-8."));
            return null;
        }

        if (span is [0xEF, 0xBB, 0xBF, ..])
        {
            bytes = bytes[3..];
        }

        if (!Utf8.IsValid(bytes.Span))
        {
            faults.Add(new Fault(file, "", "bytes that are not UTF-8", Utf8Allowed, "Save the file again with the encoding UTF-8."));
            return null;
        }

        if (bytes.Span.IndexOfAnyExcept(" \t\r\n"u8) < 0)
        {
            faults.Add(new Fault(file, "", "no text at all", Utf8Allowed, "The file is empty: was it saved, or cut off while it was copied?"));
            return null;
        }

        try
        {
            using JsonDocument document = JsonDocument.Parse(bytes, Options);
            return new JsonCursor(file, "", document.RootElement.Clone(), faults);
        }
        catch (JsonException e)
        {
            faults.Add(SyntaxFault(file, e));
            return null;
        }
    }

    private static Fault TooLong(string file, long length) =>
        new(file, "", $"{length} bytes or more", $"at most {MostBytes} bytes (8 MB)");

    private static Fault SyntaxFault(string file, JsonException e)
    {
        string reason = e.Message.Split(" LineNumber:")[0].Split(" Path:")[0].TrimEnd('.');
        string? hint = reason.StartsWith("'N' is", StringComparison.Ordinal) || reason.StartsWith("'I' is", StringComparison.Ordinal)
            ? "NaN and Infinity are no JSON numbers; write a number, or leave the key out."
            : null;
        return new Fault(
            file,
            "",
            $"a syntax error in line {e.LineNumber + 1}, column {e.BytePositionInLine + 1} ({reason})",
            $"JSON nested at most {MostDepth} deep, comments and trailing commas included",
            hint);
    }
}
