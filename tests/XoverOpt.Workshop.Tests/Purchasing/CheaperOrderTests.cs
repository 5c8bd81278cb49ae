using FsCheck;
using FsCheck.Xunit;
using XoverOpt.Search;
using XoverOpt.Workshop.Purchasing;

namespace XoverOpt.Workshop.Tests;

public class CheaperOrderTests
{
    /// <summary>By hand: 14 packs of 10 at 10.20 are 1428.00; from 150 on at 9.40, 15 packs are 1410.00.</summary>
    [Fact]
    public void Than_BreakJustAbove_IsTheLargerOrder()
    {
        Supply supply = new(10.20m, "EUR", null, null, 10) { PriceBreaks = [new(150, 9.40m), new(400, 8.90m)] };

        Assert.Equal(new CheaperOrder(15, 150, 1410.00m), CheaperOrder.Than(14, 10, supply));
        Assert.Null(CheaperOrder.Than(13, 10, supply));
        Assert.Null(CheaperOrder.Than(15, 10, supply));
        Assert.Null(CheaperOrder.Than(14, 10, supply with { UnitPrice = null, PriceBreaks = [] }));
        Assert.Null(CheaperOrder.Than(14, 10, null));
    }

    /// <summary>Against trying every larger number of packs up to the last break.</summary>
    [Property]
    public bool Than_AnyBreaks_IsTheCheapestOfAllLargerOrders(PositiveInt packs, PositiveInt pack, PositiveInt cents, byte[] steps)
    {
        int least = 1 + (packs.Get % 30), size = 1 + (pack.Get % 20);
        decimal from = 0, price = 1 + (cents.Get % 2000);
        List<PriceBreak> breaks = [];
        foreach (byte step in steps.Take(4))
        {
            from += 1 + step;
            price = Math.Max(price - (step % 7 * price / 20), 0);
            breaks.Add(new(from, Math.Round(price / 100, 4)));
        }

        Supply supply = new(Math.Round((1 + (cents.Get % 2000)) / 100m, 4), "EUR", null, null, size) { PriceBreaks = breaks };
        decimal Cost(int count) => Math.Round((decimal)count * size * supply.PriceFor((decimal)count * size)!.Value, 2, MidpointRounding.AwayFromZero);
        int[] larger = [.. Enumerable.Range(least + 1, (int)(from / size) + 2)];
        decimal best = larger.Select(Cost).Min();
        CheaperOrder? found = CheaperOrder.Than(least, size, supply);

        return best < Cost(least) ? found is not null && found.OrderPrice == best && Cost(found.Packs) == best && found.Ordered == found.Packs * size : found is null;
    }
}
