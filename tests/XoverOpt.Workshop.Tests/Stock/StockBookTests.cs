using System.Text;
using XoverOpt.Search;
using XoverOpt.Workshop.Stock;

namespace XoverOpt.Workshop.Tests;

public sealed class StockBookTests : IDisposable
{
    private const string Changed = """
        { "format": "stock-book/1", "revision": 3, "currency": "EUR", "parts": [
          { "part": "HI-1", "stock": 7, "unitPrice": 10.25, "priceBreaks": [ { "from": 50, "unitPrice": 9.5 } ] },
          { "part": "D03", "stock": 12, "unitPrice": 0.4, "packSize": 5, "leadTimeDays": 9 },
          { "part": "T15", "stock": 3.25 },
          { "part": "resistor 22 Ω", "stock": 40 },
          { "part": "gone from the drawer", "stock": 1 } ] }
        """;

    private readonly JobDesk _desk = new();

    public void Dispose() => _desk.Dispose();

    [Fact]
    public void Read_WithABook_HasItsValuesOverTheCatalogues()
    {
        Book(Changed);
        Inventory drawer = Drawer();

        Supply high = drawer.Receiver("HI-1")!.Supply!;
        Assert.Equal((7m, 10.25m, "EUR", 28, 10), (high.Stock, high.UnitPrice, high.Currency, high.LeadTimeDays, high.PackSize));
        Assert.Equal([new PriceBreak(50, 9.5m)], high.PriceBreaks);
        Assert.Equal(120, drawer.Receiver("HI-2")!.Supply!.Stock);

        // The catalogue says nothing of this one; tubing keeps its price.
        Supply damper = drawer.Dampers.Single(value => value.PartNumber == "D03").Supply!;
        Assert.Equal((12m, 0.4m, "EUR", 9, 5), (damper.Stock, damper.UnitPrice, damper.Currency, damper.LeadTimeDays, damper.PackSize));
        Assert.Equal((3.25m, 2.9m), (drawer.Tubings.Single(value => value.PartNumber == "T15").Supply!.Stock, drawer.Tubings.Single(value => value.PartNumber == "T15").Supply!.UnitPrice));

        // One value of a series; the others stay as the entry says.
        Assert.Equal([2000m, 2000m, 40m, 2000m], drawer.Passives.Resistors.Where(value => value.Value is 10 or 15 or 22 or 33).Select(value => value.Supply!.Stock!.Value));
    }

    /// <summary>A stored job carries its inventory as JSON alone: that must be the same drawer, book or no book.</summary>
    [Fact]
    public void Json_OfADrawerWithABook_ReadsBackToTheSameInventory()
    {
        string before = Drawer().Hash;
        Book(Changed);
        JobDocument job = _desk.Good(JobDesk.SmallestJob);
        JobDocument kept = JobFile.ReadPosted(Encoding.UTF8.GetBytes(job.SelfContainedJson), "nowhere").Value!;

        Assert.NotEqual(before, job.Inventory.Hash);
        Assert.Equal(job.Inventory.Hash, kept.Inventory.Hash);
        Assert.Equal(job.SelfContainedJson, kept.SelfContainedJson);
        Assert.Equal(40, kept.Inventory.Passives.Resistors.Single(value => value.Value == 22).Supply!.Stock);
        Assert.Equal(job.Problem.InventoryHash, kept.Problem.InventoryHash);
    }

    [Fact]
    public void Hash_BookWithoutPartsOrWithReservationsAlone_IsTheCatalogues()
    {
        string before = Drawer().Hash;
        Book("""{ "format": "stock-book/1", "revision": 0 }""");
        string empty = Drawer().Hash;
        Book("""
            { "format": "stock-book/1", "revision": 1, "reservations": [ { "id": "r1", "build": "abc", "label": "build 1 of X", "sets": 2, "who": "Anna",
              "when": "2031-03-03T10:00:00Z", "lines": [ { "part": "HI-1", "quantity": 4 } ] } ] }
            """);
        Inventory reserved = Drawer();

        Assert.Equal((before, before), (empty, reserved.Hash));
        Assert.Equal(4, Reservation.Sum(reserved.Reservations)["HI-1"]);
    }

    [Fact]
    public void Read_OneFileOfTheFolder_SeesTheBookBesideIt()
    {
        Book(Changed);
        Inventory drawer = InventoryFile.Read(Path.Combine(_desk.Root, "receivers.json")).Value!;

        Assert.Equal(7, drawer.Receiver("HI-1")!.Supply!.Stock);
    }

    /// <summary>What the drawer holds decides whether a build may be made of stock alone: a set of one earpiece needs half of one of two.</summary>
    [Theory]
    [InlineData("", 5)]
    [InlineData("\"earpiecesPerSet\": 1, ", 10)]
    public void Job_OfStockAlone_CountsEarpiecesAsTheJobSays(string perSet, int serves)
    {
        Book("""{ "format": "stock-book/1", "revision": 1, "parts": [ { "part": "LO-1", "stock": 10 }, { "part": "MI-1", "stock": 10 }, { "part": "HI-1", "stock": 10 }, { "part": "HI-2", "stock": 0 } ] }""");
        string Job(int sets) => JobDesk.With($$"""
            "ways": [ { "name": "all", "receivers": { "tags": ["low", "high"] }, "networks": [ [] ], "dampersOhmCgs": "none" } ], "limits": { {{perSet}}"sets": {{sets}}, "stockOnly": true }
            """.Trim());

        Assert.Equal(["HI-1", "LO-1"], _desk.Good(Job(serves)).Problem.Ways[0].Receivers.Select(receiver => receiver.Receiver.PartNumber));
        Assert.NotEmpty(_desk.Read(Job(serves + 1)).Faults);
    }

    /// <summary>The catalogue's price has fallen below the break that the book states: prices must not rise with the quantity.</summary>
    [Fact]
    public void Over_BreakAboveAPriceThatFell_IsLeftOut()
    {
        StockEntry entry = new("X") { UnitPrice = 8 };
        Supply catalogue = new(9, "EUR", 5, null, 1) { PriceBreaks = [new(10, 8.5m), new(100, 7.5m)] };

        Assert.Equal([new PriceBreak(100, 7.5m)], entry.Over(catalogue, "EUR").PriceBreaks);
    }

    [Theory]
    [InlineData("""{ "format": "stock-book/1", "revision": 1, "parts": [ { "part": "HI-1", "unitPrice": 3 } ] }""", "a price in a book that names its currency")]
    [InlineData("""{ "format": "stock-book/1", "revision": 1, "currency": "USD", "parts": [] }""", "one currency in the whole inventory")]
    [InlineData("""{ "format": "stock-book/1", "revision": 1, "parts": [ { "part": "HI-1", "stock": -3 } ] }""", "a number from 0")]
    [InlineData("""{ "format": "stock-book/1", "revision": 1, "parts": [ { "part": "HI-1" }, { "part": "HI-1" } ] }""", "each part and each reservation once")]
    [InlineData("""{ "format": "stock-book/1", "revision": 1, "parts": [ { "part": "HI-1", "stok": 3 } ] }""", "Did you mean \"stock\"?")]
    [InlineData("""{ "format": "stock-book/1" """, "syntax error")]
    [InlineData("""{ "format": "damper/1", "partNumber": "X", "ohmCgs": 3 }""", "stock-book/1")]
    public void Read_WrongBook_IsAFaultOfTheInventory(string book, string part)
    {
        Book(book);
        Reading<Inventory> drawer = InventoryFile.Read(_desk.Root);

        Fault fault = Assert.Single(drawer.Faults);
        Assert.Contains(part, fault.Message, StringComparison.Ordinal);
        Assert.EndsWith(StockBook.FileName, fault.File, StringComparison.Ordinal);
    }

    [Fact]
    public void ReadPosted_BookThatIsALink_IsRefused()
    {
        string elsewhere = _desk.Write("elsewhere.json", Changed);
        File.CreateSymbolicLink(Path.Combine(_desk.Root, StockBook.FileName), elsewhere);

        Assert.Contains(_desk.ReadPosted(JobDesk.SmallestJob).Faults, fault => fault.Found.Contains(StockBook.FileName, StringComparison.Ordinal));
    }

    [Fact]
    public void Write_Book_ReadsBackAndSatisfiesItsSchema()
    {
        StockBook book = new()
        {
            Revision = 9,
            Currency = "EUR",
            Parts = [new("A \"<b>\" µF") { Stock = 0.675m, UnitPrice = 0.03m, PriceBreaks = [] }, new("B") { PriceBreaks = [new(10, 1.5m)], PackSize = 4, LeadTimeDays = 0 }],
            Reservations = [new("r9", "0123456789abcdef", "build 2 of X", 25, "Anna", new(2031, 3, 3, 10, 0, 0, TimeSpan.Zero), [new("B", 12.5m)])],
        };
        byte[] text = StockBookFile.Write(book);
        string path = _desk.Write("book.json", text);

        Assert.Equal(text, StockBookFile.Write(StockBookFile.Read(path).Value!));
        Assert.Equal("", SchemaCheck.Objections(SchemaCheck.Parse(Encoding.UTF8.GetString(text))));
        Assert.Empty(FileCheck.Check(path, _desk.Root));
    }

    private void Book(string text) => _desk.Write($"driverlib/{StockBook.FileName}", text);

    private Inventory Drawer()
    {
        Reading<Inventory> reading = InventoryFile.Read(_desk.Root);
        Assert.Empty(reading.Faults);
        return reading.Value!;
    }
}
