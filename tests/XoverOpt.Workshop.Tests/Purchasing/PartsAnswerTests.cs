using XoverOpt.Search;
using XoverOpt.Workshop.Purchasing;

namespace XoverOpt.Workshop.Tests;

public class PartsAnswerTests
{
    private static readonly DateOnly Monday = new(2031, 3, 3);

    [Fact]
    public void Of_EverythingThere_IsAPlainYes() => Assert.Equal("Yes: every part of 25 sets is on the shelf.", Answer(25, 10, Need("A", 100, stock: 100, days: 5)));

    [Fact]
    public void Of_OrderThatComesInTime_NamesTheLastDayToOrder() => Assert.Equal(
        "Yes, if the order goes out by 2031-03-06: ordered on 2031-03-03, the last part, A, arrives on 2031-03-10. From what is there today 5 sets can be built.",
        Answer(25, 10, Need("A", 100, stock: 20, days: 7), Need("B", 25, stock: 20, days: 2)));

    [Fact]
    public void Of_OrderThatComesLate_SaysWhatHoldsItUpByHowMuchAndWhatIsPossible() => Assert.Equal(
        "No: A arrives on 2031-03-14, 1 day late. By then the parts of 15 sets are there. From what is there today 1 set can be built.",
        Answer(25, 10, Need("A", 100, stock: 60, days: 11), Need("B", 25, stock: 1, days: 2)));

    [Fact]
    public void Of_PartWithoutALeadTime_CannotBeTold() => Assert.Equal(
        "It cannot be told: A is short and nothing says how long more would take. From what is there today no set can be built.",
        Answer(25, 10, Need("A", 100, stock: 3, days: null)));

    [Fact]
    public void Of_NoDay_SaysWhenTheLastPartComes() => Assert.Equal(
        "The last part, A, arrives on 2031-03-10 if the order goes out on 2031-03-03. From what is there today 5 sets can be built.",
        Answer(25, null, Need("A", 100, stock: 20, days: 7)));

    private static string Answer(int sets, int? within, params PartsNeed[] needs) => PartsAnswer.Of(PartsList.Of(
        needs, new Dictionary<string, decimal>(), new(sets, 2, 1, Monday, within is { } days ? Monday.AddDays(days) : null)));

    private static PartsNeed Need(string part, decimal need, decimal stock, int? days) => new(PartKind.Receiver, part, part, "", ["low"], 1, need, new(1, "EUR", stock, days, 1));
}
