using System.Text;
using XoverOpt.Workshop.Purchasing;

namespace XoverOpt.Workshop.Tests;

public class SheetDialectTests
{
    public static TheoryData<string> Formulas => ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", "=HYPERLINK(\"x\")"];

    [Fact]
    public void Write_Numbers_StandInTheSignsOfTheLocale()
    {
        object?[] row = ["a,b", 1234.5m, 0.675m, 3, new DateOnly(2031, 3, 3), true, null];

        Assert.Equal("\uFEFF\"a,b\",1234.5,0.675,3,2031-03-03,yes,\r\n", Encoding.UTF8.GetString(SheetDialect.Point.Write([row])));
        Assert.Equal("\uFEFFa,b;1234,5;0,675;3;2031-03-03;yes;\r\n", Encoding.UTF8.GetString(SheetDialect.Comma.Write([row])));
    }

    [Theory]
    [MemberData(nameof(Formulas))]
    public void Write_TextLikeAFormula_StaysText(string text)
    {
        string written = Encoding.UTF8.GetString(SheetDialect.Point.Write([[text]]));

        Assert.StartsWith("'" + text[0], written.TrimStart('\uFEFF', '"'), StringComparison.Ordinal);
    }

    /// <summary>RFC 4180, section 2: a cell with a quote, a separator or a line break is quoted, and quotes within are doubled.</summary>
    [Fact]
    public void Write_QuotesAndBreaks_AreAsInRfc4180() =>
        Assert.Equal("\uFEFF\"a\"\"b\",\"c\r\nd\"\r\n", Encoding.UTF8.GetString(SheetDialect.Point.Write([["a\"b", "c\r\nd"]])));
}
