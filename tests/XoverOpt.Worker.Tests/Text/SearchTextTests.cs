using XoverOpt.Search;
using XoverOpt.Worker.Text;

namespace XoverOpt.Worker.Tests.Text;

public class SearchTextTests
{
    private static readonly SearchResult Result = new(
        [], StopReason.Finished, 5000, 40, 1000, [new Exclusion("more than 8 receivers", 300)], 7)
    {
        GivenUp = [new Exclusion("cannot reach the least SPL", 160)],
        Values = SearchConfidence.Of(ConfidenceKind.Values, 32, 21, 6),
        Layouts = SearchConfidence.Of(ConfidenceKind.Layouts, 3, 2, 2),
    };

    [Fact]
    public void Lines_OfASearch_AccountForEveryLayout()
    {
        string[] lines = [.. SearchText.Lines(Result)];

        Assert.StartsWith("finished: 5000 evaluations, 40 of 1000 layouts tried, seed 7, version ", lines[0], StringComparison.Ordinal);
        Assert.Equal(
            [
                "  left out before that count: 300 layouts, more than 8 receivers",
                "  given up on the way: 160 layouts, cannot reach the least SPL",
                "  not reached: 800 layouts, for want of evaluations, time or promise",
            ],
            lines[1..4]);
    }

    [Fact]
    public void Lines_OfASearch_SayHowSureItIs()
    {
        string[] lines = [.. SearchText.Lines(Result)];

        Assert.StartsWith("32 independent starts for the layout that is best with ideal values: 21 ended in the best optimum", lines[4], StringComparison.Ordinal);
        Assert.StartsWith("3 independent repetitions of the search: 2 ended in the best layout, 2 different layouts seen. What was missed cannot", lines[5], StringComparison.Ordinal);
        Assert.Equal(6, lines.Length);
    }

    [Fact]
    public void Lines_OfACompleteSearch_LeaveNothingUnreached() =>
        Assert.DoesNotContain(SearchText.Lines(Result with { LayoutsTried = 840 }), line => line.Contains("not reached", StringComparison.Ordinal));

    [Theory]
    [InlineData(20)]
    [InlineData(100)]
    public void Wrap_LongLine_KeepsIndentAndUnits(int width)
    {
        string[] lines = [.. Report.Wrap("  finer values would lower the cost by about 12 % or 330 Ω so and so many times over and over", width)];

        Assert.All(lines, line => Assert.True(line.Length <= width && line.StartsWith("  ", StringComparison.Ordinal), line));
        Assert.DoesNotContain(lines, line => line.TrimStart()[0] is '%' or 'Ω');
    }
}
