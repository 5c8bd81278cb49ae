namespace XoverOpt.Search.Tests;

/// <summary>The bounded memory of layouts tried.</summary>
public class TriedLayoutsTests
{
    [Fact]
    public void Add_SameLayoutTwice_IsNewOnceAndAttemptsStandApart()
    {
        var tried = new TriedLayouts(10);

        Assert.False(tried.Has(new([1, 2])));
        Assert.True(tried.Add(new([1, 2])));
        Assert.False(tried.Add(new([1, 2])));
        Assert.True(tried.Has(new([1, 2])));
        Assert.False(tried.Has(new([2, 1])));
        Assert.False(tried.Has(new([1, 2]), 2));
        Assert.True(tried.Add(new([1, 2]), 2));
    }

    // What is counted as new when it is not makes counts lie, and what is forgotten is swept again: both must be rare.
    [Theory]
    [InlineData(500)]
    [InlineData(20_000)]
    [InlineData(100_000)]
    public void Has_AsManyAsItWasMadeFor_ForgetsHardlyAny(int layouts)
    {
        var tried = new TriedLayouts(layouts);
        Layout At(int i) => new([i % 37, i / 37 % 41, i / (37 * 41)]);
        for (int i = 0; i < layouts; i++)
        {
            Assert.True(tried.Add(At(i)));
        }

        int forgotten = Enumerable.Range(0, layouts).Count(i => !tried.Has(At(i)));
        TestContext.Current.TestOutputHelper?.WriteLine($"{forgotten} of {layouts} forgotten.");
        Assert.True(forgotten <= layouts / 100, $"{forgotten} of {layouts} forgotten.");
        Assert.All(Enumerable.Range(layouts, 1000), i => Assert.False(tried.Has(At(i))));
    }

    [Fact]
    public void Add_FarMoreThanItHolds_KeepsTheLastAndStaysInBounds()
    {
        var tried = new TriedLayouts(1);
        int bytes = tried.Save().Length;
        for (int i = 0; i < 20_000; i++)
        {
            tried.Add(new([i, 1]));
            Assert.True(tried.Has(new([i, 1])));
        }

        Assert.Equal(bytes, tried.Save().Length);
    }

    [Fact]
    public void Save_AndRestored_KnowsTheSame()
    {
        var tried = new TriedLayouts(100);
        for (int i = 0; i < 3000; i += 2)
        {
            tried.Add(new([i]), 1 + (i % 3));
        }

        var again = new TriedLayouts(tried.Save());
        Assert.All(Enumerable.Range(0, 3000), i => Assert.Equal(tried.Has(new([i]), 1 + (i % 3)), again.Has(new([i]), 1 + (i % 3))));
        Assert.Equal(tried.Add(new([7]), 2), again.Add(new([7]), 2));
        Assert.Equal(tried.Save(), again.Save());
    }
}
