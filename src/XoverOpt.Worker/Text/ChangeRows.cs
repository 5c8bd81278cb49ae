using XoverOpt.Acoustics.Figures;

namespace XoverOpt.Worker.Text;

/// <summary>Rows of values at a few frequencies behind a name.</summary>
/// <param name="nameWidth">Characters of the name.</param>
/// <param name="columns">The frequencies, Hz.</param>
internal sealed class ChangeRows(int nameWidth, IReadOnlyList<double> columns)
{
    private const int JudgedWidth = 27;

    /// <summary>The heading.</summary>
    public string Heading => new string(' ', nameWidth) + $"{"level",7}{"RMS",6}{"max",7}{"at Hz",7}" + string.Concat(columns.Select(hz => $"{Hz(hz),6}"));

    /// <summary>A change, judged and by frequency.</summary>
    public string Change(string name, ResponseChange change, IReadOnlyList<double> hz, IReadOnlyList<double> db) =>
        $"{name.PadRight(nameWidth)}{Signed(change.LevelDb, 2),7}{Numbers.Fixed(change.RmsDb, 2),6}{Signed(change.MaxDb, 2),7}{Hz(change.MaxAtHz),7}"
        + string.Concat(Pick(hz, db).Select(value => $"{Signed(value, 1),6}"));

    /// <summary>Values by frequency alone.</summary>
    public string Values(string name, IReadOnlyList<double> hz, IReadOnlyList<double> values) =>
        name.PadRight(nameWidth + JudgedWidth) + string.Concat(Pick(hz, values).Select(value => $"{NotMinusZero(Numbers.Fixed(value, 1)),6}"));

    /// <summary>A frequency with its unit.</summary>
    public static string Hertz(double hz) => hz < 1000 ? $"{Numbers.Fixed(hz, 0)} Hz" : $"{Numbers.Part(Math.Round(hz / 1000, 1))} kHz";

    /// <summary>A frequency in a column, thousands as k.</summary>
    public static string Hz(double hz) => hz < 1000 ? Numbers.Fixed(hz, 0) : Numbers.Part(Math.Round(hz / 1000, 1)) + "k";

    /// <summary>A number with its sign; none for nothing.</summary>
    public static string Signed(double value, int decimals)
    {
        string text = NotMinusZero(Numbers.Fixed(value, decimals));
        return value > 0 && SaysSomething(text) ? "+" + text : text;
    }

    private static string NotMinusZero(string text) => SaysSomething(text) ? text : text.TrimStart('-');

    private static bool SaysSomething(string text) => text.AsSpan().IndexOfAnyInRange('1', '9') >= 0;

    private IEnumerable<double> Pick(IReadOnlyList<double> hz, IReadOnlyList<double> values) =>
        columns.Select(column => values[Enumerable.Range(0, hz.Count).MinBy(k => Math.Abs(Math.Log(hz[k] / column)))]);
}
