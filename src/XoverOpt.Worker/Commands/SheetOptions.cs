using System.CommandLine;
using XoverOpt.Workshop.Purchasing;

namespace XoverOpt.Worker.Commands;

/// <summary>The options of commands that write or read CSV.</summary>
internal static class SheetOptions
{
    /// <summary>The decimal sign.</summary>
    /// <param name="about">What holds without it.</param>
    public static Option<string?> Decimal(string about)
    {
        Option<string?> option = new("--decimal") { Description = $"The decimal sign of the CSV: point (cells parted by commas) or comma (by semicolons); {about}.", HelpName = "SIGN" };
        option.Allow(name => name is null || SheetDialect.Named(name) is not null, string.Join(" or ", SheetDialect.Names));
        return option;
    }

    /// <summary>Writes a sheet.</summary>
    public static void Write(string path, SheetDialect dialect, IEnumerable<IReadOnlyList<object?>> rows)
    {
        if (Path.GetDirectoryName(path) is { Length: > 0 } folder)
        {
            Directory.CreateDirectory(folder);
        }

        File.WriteAllBytes(path, dialect.Write(rows));
        Console.Error.WriteLine($"{path} written");
    }
}
