using System.Text;

namespace XoverOpt.Worker.Pages;

/// <summary>Text that came with a form: from a file if one was chosen, or else from the field.</summary>
internal static class SentFile
{
    /// <summary>Its bytes, and the text to show again.</summary>
    public static async Task<(byte[] Bytes, string Text)> Read(string? text, IFormFile? file, CancellationToken gone)
    {
        if (file is not { Length: > 0 })
        {
            return (Encoding.UTF8.GetBytes(text ?? ""), text ?? "");
        }

        using MemoryStream body = new();
        await file.CopyToAsync(body, gone);
        byte[] bytes = body.ToArray();
        return (bytes, Encoding.UTF8.GetString(bytes));
    }
}
