using System.Collections.Concurrent;
using Microsoft.Playwright;

namespace XoverOpt.Pages.Tests.Support;

/// <summary>A browser window and what it complained of.</summary>
public sealed class Window : IAsyncDisposable
{
    private readonly IBrowserContext _context;
    private readonly ConcurrentQueue<string> _complaints = [];

    public Window(IBrowserContext context, IPage page)
    {
        _context = context;
        Page = page;
        page.SetDefaultTimeout(60_000);
        page.Console += (_, message) =>
        {
            if (message.Type is "error" or "warning")
            {
                _complaints.Enqueue($"{page.Url}: {message.Text}");
            }
        };
        page.PageError += (_, error) => _complaints.Enqueue($"{page.Url}: {error}");
    }

    public IPage Page { get; }

    /// <summary>Errors and warnings of its console so far.</summary>
    public IReadOnlyCollection<string> Complaints => _complaints;

    /// <summary>Opens a page and waits until its charts are drawn.</summary>
    public async Task<IResponse> Go(string path)
    {
        IResponse response = (await Page.GotoAsync(path))!;
        await Drawn();
        return response;
    }

    /// <summary>Waits until what is drawn by script is there.</summary>
    public async Task Drawn()
    {
        ILocator host = Page.Locator("[data-curves], [data-comparison], [data-inspected]");
        if (await host.CountAsync() > 0 && await Page.Locator("html").EvaluateAsync<bool>("() => true"))
        {
            await Page.Locator("[data-drawn=yes]").First.WaitForAsync(new() { State = WaitForSelectorState.Attached });
        }
    }

    public async ValueTask DisposeAsync() => await _context.DisposeAsync();
}
