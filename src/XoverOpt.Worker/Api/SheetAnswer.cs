using XoverOpt.Workshop.Purchasing;

namespace XoverOpt.Worker.Api;

/// <summary>Answers that may be JSON or CSV.</summary>
/// <param name="Csv">The dialect of the CSV; null for JSON.</param>
internal sealed record SheetAnswer(SheetDialect? Csv)
{
    /// <summary>The media type.</summary>
    public const string Type = "text/csv";

    /// <summary>The names of the query.</summary>
    public static IReadOnlyList<string> Names { get; } = ["format", "decimal"];

    /// <summary>What the words of the query mean.</summary>
    public const string About = "format: json or csv (as Accept asks where left out). decimal: point or comma, the decimal sign of the CSV; a point where left out.";

    /// <summary>Reads what is asked for; what is wrong is added to <paramref name="faults"/>.</summary>
    public static SheetAnswer Read(HttpRequest request, List<FaultView> faults)
    {
        string? format = request.Query["format"], sign = request.Query["decimal"];
        if (format is not (null or "json" or "csv"))
        {
            faults.Add(new("format", format, "json or csv"));
        }

        if (sign is not null && SheetDialect.Named(sign) is null)
        {
            faults.Add(new("decimal", sign, string.Join(" or ", SheetDialect.Names)));
        }

        bool csv = format == "csv" || (format is null && request.Headers.Accept.Any(type => type?.Contains(Type, StringComparison.OrdinalIgnoreCase) == true));
        return new(csv ? SheetDialect.Named(sign) ?? SheetDialect.Point : null);
    }

    /// <summary>A fault for each name of the query that is not known.</summary>
    public static IEnumerable<FaultView> Unknown(IQueryCollection query, params IReadOnlyList<string> known) =>
        query.Keys.Where(key => !known.Contains(key)).Select(key => new FaultView(key, key, string.Join(", ", known)));

    /// <summary>The sheet, to be saved under a name.</summary>
    public IResult File(IEnumerable<IReadOnlyList<object?>> rows, string name) => TypedResults.File(Csv!.Write(rows), $"{Type}; charset=utf-8", name);
}
