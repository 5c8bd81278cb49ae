using System.Reflection;
using XoverOpt.Workshop.Stock;

namespace XoverOpt.Workshop;

/// <summary>
/// The JSON Schemas (2020-12) of the files. They say what can be said of one document by itself; what needs the inventory, another
/// file or two values together (rising frequencies, known part numbers, one currency) only the readers check.
/// </summary>
public static class FileSchemas
{
    /// <summary>The formats that have a schema, as files name them.</summary>
    public static IReadOnlyList<string> Names { get; } =
        ["receiver/1", "damper/1", "tubing/1", "passives/1", "job/1", "build/1", "result/1", FitFile.Format, FitResultFile.Format, SpreadFile.Format, MeasuredComparison.Format, MeasuredRequest.Format, StockBook.Format, BenchPlanFile.Format];

    /// <summary>The file name of a schema, such as "job-1.schema.json".</summary>
    /// <param name="name">One of <see cref="Names"/>.</param>
    public static string FileName(string name) => name.Replace('/', '-') + ".schema.json";

    /// <summary>The text of a schema.</summary>
    /// <param name="name">One of <see cref="Names"/>.</param>
    /// <exception cref="ArgumentException">No such name.</exception>
    public static string Text(string name)
    {
        if (!Names.Contains(name))
        {
            throw new ArgumentException($"There is no schema \"{name}\"; there are {string.Join(", ", Names)}.", nameof(name));
        }

        using Stream stream = Assembly.GetExecutingAssembly().GetManifestResourceStream(FileName(name))!;
        using StreamReader reader = new(stream);
        return reader.ReadToEnd();
    }
}
